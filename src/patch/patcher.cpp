#include "patch/patcher.hpp"

#include <algorithm>
#include <set>
#include <utility>

#include "base/nearest.hpp"
#include "patch/places.hpp"

namespace panewalk::patch {
namespace {

using base::quoted;
using std::to_string;

// E1.31-2018 §6.2.7; Art-Net 4, Port-Address: 15 bits.
constexpr std::int64_t kFirstE131 = 1;
constexpr std::int64_t kLastE131 = 63'999;
constexpr std::int64_t kFirstArtNet = 0;
constexpr std::int64_t kLastArtNet = 32'767;
// E1.11 Table 6 (from memory): 92 + 12 + 44 × 513 µs for 512 slots, 44.1 frames a second.
constexpr int kDmxRefresh = 44;

std::int64_t first_universe_of(Protocol protocol) {
  return protocol == Protocol::kE131 ? kFirstE131 : kFirstArtNet;
}

std::int64_t last_universe_of(Protocol protocol) {
  return protocol == Protocol::kE131 ? kLastE131 : kLastArtNet;
}

std::string universe_word(Protocol protocol) {
  return protocol == Protocol::kE131 ? "E1.31 universe" : "Port-Address";
}

/// Multicast by two cards goes to two networks.
bool same_destination(const ControllerDescription& a, const ControllerDescription& b) {
  const bool other_card = a.address.multicast && a.interface && b.interface;
  return a.protocol == b.protocol && a.address == b.address &&
         !(other_card && a.interface != b.interface);
}

std::string text_of(const Address& address) {
  if (address.multicast) return "multicast port " + to_string(address.port);
  std::string text;
  for (const std::uint8_t octet : address.host) {
    if (!text.empty()) text += '.';
    text += to_string(octet);
  }
  return text + ':' + to_string(address.port);
}

struct Stretch {
  int first = 0, last = 0;
  [[nodiscard]] bool empty() const { return first > last; }
};

/// What the patch takes of one universe that lies between its first and last.
Stretch stretch_in(const PropPatch& patch, int universe) {
  const Channel first = patch.channel_of(0, 0);
  const Channel last = patch.channel_of(patch.chips() - 1, patch.order().channels() - 1);
  return {universe == first.universe ? int{first.channel} : 1,
          universe == last.universe ? int{last.channel} : int{patch.usable()}};
}

std::string channels_text(int universe, Stretch shared) {
  std::string text = "universe " + to_string(universe);
  if (shared.first == shared.last) return text + " channel " + to_string(shared.first);
  return text + " channels " + to_string(shared.first) + " to " + to_string(shared.last);
}

}  // namespace

base::Result<Patch> Patcher::assign() {
  check_controllers();
  for (std::size_t i = 0; i < props_.size(); ++i) place(i);
  check_chains();
  check_shared_universes();
  check_streams();
  if (!problems_.empty()) return std::move(problems_);
  Patch patch;
  patch.notes = std::move(notes_);
  for (std::optional<PropPatch>& placed : placed_) {
    patch.props.push_back(placed ? std::move(*placed) : PropPatch{});
  }
  return patch;
}

void Patcher::check_controllers() {
  for (std::size_t i = 0; i < controllers_.size(); ++i) {
    const ControllerDescription& controller = controllers_[i];
    for (std::size_t before = 0; before < i; ++before) {
      if (controllers_[before].name != controller.name) continue;
      problems_.push_back(problem(controller_place(i, "name"),
                                  quoted(controller.name) + " is already the name of " +
                                      base::element("/controllers", before),
                                  "each controller needs a name of its own"));
      break;
    }
    if (controller.frames_per_second > kDmxRefresh) {
      const bool e131 = controller.protocol == Protocol::kE131;
      notes_.push_back(
          problem(controller_place(i, "rate"),
                  to_string(controller.frames_per_second) +
                      " per second is faster than DMX512-A sends 512 channels (44 per second)",
                  std::string{e131 ? "E1.31 §6.6.1" : "Art-Net, ArtDmx refresh rate,"} +
                      " allows it only where the controller is known to take it"));
    }
  }
}

void Patcher::place(std::size_t index) {
  const PatchedProp& prop = props_[index];
  const auto found = find_controller(index);
  if (!found) return;
  const ControllerDescription& controller = controllers_[*found];
  controller_of_[index] = found;
  const bool universe_fits = check_universe(index, controller);
  const bool channel_fits = check_channel(index, controller);
  if (prop.placement.nulls < 0) {
    problems_.push_back(problem(prop_place(index, "nulls"),
                                to_string(prop.placement.nulls) + " is not allowed",
                                "allowed: 0 or more"));
    return;
  }
  if (prop.map == nullptr) return;
  const std::int64_t chips = std::int64_t{prop.placement.nulls} +
                             static_cast<std::int64_t>(prop.map->size()) + prop.map->spare_count();
  if (!universe_fits || !channel_fits || !check_end(index, controller, chips)) return;

  PropPatch patch;
  patch.controller_ = *found;
  patch.universe_ = static_cast<std::uint16_t>(prop.placement.universe);
  patch.first_ = static_cast<std::uint32_t>(prop.placement.channel - 1);
  patch.usable_ = usable_channels(controller.channels_per_universe, prop.format.order.channels());
  patch.order_ = prop.format.order;
  patch.chips_ = static_cast<std::size_t>(chips);
  patch.slots_.reserve(prop.map->size());
  for (std::size_t pixel = 1; pixel <= prop.map->size(); ++pixel) {
    const auto before = prop.placement.nulls + prop.map->spares_before(PixelIndex::of(pixel));
    patch.slots_.push_back(static_cast<std::uint32_t>(before) +
                           static_cast<std::uint32_t>(pixel - 1));
  }
  placed_[index] = std::move(patch);
}

std::optional<std::size_t> Patcher::find_controller(std::size_t index) {
  const std::string& wanted = props_[index].placement.controller;
  std::vector<std::string> names;
  for (std::size_t i = 0; i < controllers_.size(); ++i) {
    if (controllers_[i].name == wanted) return i;
    if (std::find(names.begin(), names.end(), controllers_[i].name) == names.end()) {
      names.push_back(controllers_[i].name);
    }
  }
  problems_.push_back(
      problem(prop_place(index, "controller"), "no controller is called " + quoted(wanted),
              names.empty() ? "list it under \"controllers\"" : base::name_hint(wanted, names)));
  return std::nullopt;
}

bool Patcher::check_universe(std::size_t index, const ControllerDescription& controller) {
  const std::int64_t universe = props_[index].placement.universe;
  const std::int64_t first = first_universe_of(controller.protocol);
  const std::int64_t last = last_universe_of(controller.protocol);
  if (universe < first || universe > last) {
    problems_.push_back(
        problem(prop_place(index, "universe"),
                to_string(universe) + " is no " + universe_word(controller.protocol),
                "allowed: " + to_string(first) + " to " + to_string(last)));
    return false;
  }
  if (universe == 0) {
    notes_.push_back(problem(prop_place(index, "universe"),
                             "Port-Address 0 has no universe of the same number in E1.31",
                             "count from 1 where the controller can"));
  }
  return true;
}

bool Patcher::check_channel(std::size_t index, const ControllerDescription& controller) {
  const std::int64_t channel = props_[index].placement.channel;
  const std::size_t channels = props_[index].format.order.channels();
  const auto width = static_cast<std::int64_t>(channels);
  const std::int64_t usable = usable_channels(controller.channels_per_universe, channels);
  if (channel < 1 || channel > usable) {
    problems_.push_back(
        problem(prop_place(index, "channel"), to_string(channel) + " is not allowed",
                "allowed: 1 to " + to_string(usable) + ", the channels that controller " +
                    quoted(controller.name) + " uses of each universe"));
    return false;
  }
  const std::int64_t over = (channel - 1) % width;
  if (controller.channels_per_universe == 512 || over == 0) return true;
  std::string nearest = to_string(channel - over);
  if (channel - over + width <= usable) nearest += " or " + to_string(channel - over + width);
  problems_.push_back(problem(
      prop_place(index, "channel"),
      "a start at channel " + to_string(channel) + " splits the last pixel of the universe",
      "the nearest that keeps pixels of " + to_string(width) + " channels whole: " + nearest));
  return false;
}

bool Patcher::check_end(std::size_t index, const ControllerDescription& controller,
                        std::int64_t chips) {
  const PatchedProp& prop = props_[index];
  const std::size_t channels = prop.format.order.channels();
  const std::int64_t usable = usable_channels(controller.channels_per_universe, channels);
  const std::int64_t end = prop.placement.channel - 1 + chips * static_cast<std::int64_t>(channels);
  const std::int64_t more = (end + usable - 1) / usable - 1;
  const std::int64_t last = last_universe_of(controller.protocol);
  if (prop.placement.universe + more <= last) return true;
  const std::int64_t latest = last - more;
  problems_.push_back(problem(prop_place(index, "universe"),
                              quoted(prop.name) + " runs on to " +
                                  to_string(prop.placement.universe + more) + ", past the last " +
                                  universe_word(controller.protocol) + " " + to_string(last),
                              latest < first_universe_of(controller.protocol)
                                  ? "its " + to_string(chips) + " chips fit nowhere"
                                  : "start at " + to_string(latest) + " or before"));
  return false;
}

void Patcher::check_shared_universes() {
  std::set<std::pair<std::size_t, std::size_t>> told;  // pairs of controllers
  each_two_on_a_universe([&](std::size_t earlier, std::size_t later, int first) {
    const std::size_t a = placed_[earlier]->controller();
    const std::size_t b = placed_[later]->controller();
    const ControllerDescription& one = controllers_[a];
    const ControllerDescription& other = controllers_[b];
    if (!same_destination(one, other)) return;
    if (a != b && told.insert(std::minmax(a, b)).second) {
      problems_.push_back(problem(
          prop_place(later, "universe"),
          "universe " + to_string(first) + " is sent to " + text_of(one.address) +
              " twice, by controller " + quoted(one.name) + " for " + quoted(props_[earlier].name) +
              " and by controller " + quoted(other.name) + " for " + quoted(props_[later].name),
          "one universe has one row of sequence numbers; make them one controller"));
    }
    check_overlap(earlier, later);
  });
}

void Patcher::check_overlap(std::size_t earlier, std::size_t later) {
  constexpr std::size_t kMostNamed = 3;
  const PropPatch& a = *placed_[earlier];
  const PropPatch& b = *placed_[later];
  std::vector<std::string> shared;
  std::size_t more = 0;
  const int last = std::min(a.last_universe(), b.last_universe());
  for (int universe = std::max(a.first_universe(), b.first_universe()); universe <= last;
       ++universe) {
    const Stretch mine = stretch_in(a, universe);
    const Stretch yours = stretch_in(b, universe);
    const Stretch both{std::max(mine.first, yours.first), std::min(mine.last, yours.last)};
    if (both.empty()) continue;
    if (shared.size() < kMostNamed) {
      shared.push_back(channels_text(universe, both));
    } else {
      ++more;
    }
  }
  if (shared.empty()) return;
  if (more > 0)
    shared.push_back(to_string(more) + (more == 1 ? " universe more" : " universes more"));
  const auto free = first_free_universe(b.controller());
  problems_.push_back(problem(prop_place(later, "universe"),
                              quoted(props_[later].name) + " takes " + base::listed(shared) +
                                  ", which " + quoted(props_[earlier].name) + " takes too (" +
                                  prop_place(earlier, "universe") + ")",
                              free ? "free from universe " + to_string(*free) + " on"
                                   : "no universe is free after the last one in use"));
}

std::optional<std::int64_t> Patcher::first_free_universe(std::size_t controller) const {
  std::int64_t last = 0;
  for (const std::optional<PropPatch>& placed : placed_) {
    if (!placed) continue;
    if (!same_destination(controllers_[placed->controller()], controllers_[controller])) continue;
    last = std::max<std::int64_t>(last, placed->last_universe());
  }
  if (last + 1 > last_universe_of(controllers_[controller].protocol)) return std::nullopt;
  return last + 1;
}

}  // namespace panewalk::patch
