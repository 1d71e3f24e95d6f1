#include "engine/rows.hpp"

#include <algorithm>
#include <cstring>

#include "engine/octets.hpp"

namespace panewalk::engine {
namespace {

using patch::Protocol;

/// The plan has been checked: what is refused here is our own bug.
template <class T, class E>
T sound(base::Result<T, E> result) {
  return std::move(result).value();
}

packet::Cadence cadence_of(const patch::ControllerDescription& controller) {
  const Duration period = Duration{std::chrono::seconds{1}} / controller.frames_per_second;
  return packet::Cadence{period, controller.unchanged == patch::Unchanged::kEveryFrame
                                     ? packet::Repeat::kEveryFrame
                                     : packet::Repeat::kKeepAlive};
}

Destination destination_of(const patch::ControllerDescription& controller, std::size_t index,
                           std::uint16_t universe, const Identity& identity) {
  if (!identity.reroute.empty()) {
    return {.host = identity.reroute[index].host,
            .port = identity.reroute[index].port,
            .interface = std::nullopt,
            .controller = index};
  }
  Destination to{.host = controller.address.host,
                 .port = controller.address.port,
                 .multicast = controller.address.multicast,
                 .interface = controller.interface,
                 .controller = index};
  if (to.multicast) to.host = packet::multicast_group(sound(packet::Universe::from(universe)));
  return to;
}

std::optional<packet::Universe> sync_address(const patch::ControllerDescription& controller) {
  if (!controller.sync) return std::nullopt;
  return sound(packet::Universe::from(controller.sync->universe));
}

constexpr std::uint8_t kLoopbackNet = 127;

}  // namespace

Rows::Rows(const Plan& plan, const Identity& identity)
    : rerouted_{!identity.reroute.empty()}, sync_{identity.cid} {
  for (std::size_t prop = 0; prop < plan.props.size(); ++prop) {
    const patch::PropPatch& patch = plan.patch.props[prop];
    for (std::uint32_t u = patch.first_universe(); u <= patch.last_universe(); ++u) {
      row_keys_.emplace_back(patch.controller(), static_cast<std::uint16_t>(u));
    }
  }
  std::sort(row_keys_.begin(), row_keys_.end());
  row_keys_.erase(std::unique(row_keys_.begin(), row_keys_.end()), row_keys_.end());
  rows_.reserve(row_keys_.size());
  for (std::size_t c = 0; c < plan.controllers.size(); ++c) add_rows(plan, c, identity);
  for (std::size_t prop = 0; prop < plan.props.size(); ++prop) lay_out(plan, prop);
  add_discovery(plan, identity);
  destination_of_.clear();
  // A farewell has the synchronization packets too, fewer than there are destinations.
  out_.reserve(rows_.size() + destinations_.size() +
               discovery_pages_.size() * discovery_destinations_.size());
}

void Rows::add_rows(const Plan& plan, std::size_t controller, const Identity& identity) {
  const patch::ControllerDescription& described = plan.controllers[controller];
  std::uint16_t slots = 2;
  for (const patch::PropPatch& patch : plan.patch.props) {
    if (patch.controller() == controller) slots = std::max(slots, patch.usable());
  }
  for (const auto& [owner, universe] : row_keys_) {
    if (owner != controller) continue;
    Row row{.packet = packet::ArtDmxRow{sound(packet::PortAddress::from(0)), 2},
            .cadence = cadence_of(described),
            .controller = controller,
            .destination = destination(destination_of(described, controller, universe, identity)),
            .sync = std::nullopt};
    if (described.protocol == Protocol::kE131) {
      row.packet = packet::E131Row{{.cid = identity.cid,
                                    .source = identity.source_name,
                                    .priority = sound(packet::Priority::from(described.priority)),
                                    .universe = sound(packet::Universe::from(universe)),
                                    .sync_address = sync_address(described)},
                                   slots};
    } else {
      row.packet = packet::ArtDmxRow{sound(packet::PortAddress::from(universe)), slots};
    }
    if (described.sync) add_sync(plan, row);
    rows_.push_back(row);
  }
}

/// E1.31: by multicast to the group of the synchronization address (§6.3.3.1), else to each
/// receiver. ArtSync is always broadcast, but in the practice yard.
void Rows::add_sync(const Plan& plan, Row& row) {
  const patch::ControllerDescription& described = plan.controllers[row.controller];
  Destination to = destinations_[row.destination];
  if (to.multicast) {
    to.host = packet::multicast_group(sound(packet::Universe::from(described.sync->universe)));
  } else if (described.protocol == Protocol::kArtNet && !rerouted_) {
    to.broadcast = true;
  }
  row.sync = sync_.group(described.protocol, *described.sync);
  sync_.send_to(*row.sync, destination(to));
}

std::uint32_t Rows::destination(const Destination& wanted) {
  const auto next = static_cast<std::uint32_t>(destinations_.size());
  const auto [known, is_new] = destination_of_.try_emplace(
      {wanted.host, wanted.port, wanted.interface.value_or(""), wanted.broadcast}, next);
  if (is_new) destinations_.push_back(wanted);
  return known->second;
}

void Rows::add_discovery(const Plan& plan, const Identity& identity) {
  for (const Row& row : rows_) {
    const auto* e131 = std::get_if<packet::E131Row>(&row.packet);
    if (e131 == nullptr) continue;
    universes_.push_back(e131->universe());
    // E1.31-2018 §12: by multicast; on each interface that the data leaves by.
    const patch::ControllerDescription& controller = plan.controllers[row.controller];
    Destination to{.host = packet::kDiscoveryGroup,
                   .port = packet::kE131UdpPort,
                   .multicast = true,
                   .interface = controller.interface,
                   .controller = std::nullopt};
    if (!controller.address.multicast && controller.address.host[0] == kLoopbackNet) {
      to.interface = "127.0.0.1";
    }
    // In the practice yard it goes where the data goes: nothing leaves the machine.
    if (!identity.reroute.empty()) to = destinations_[row.destination];
    const std::uint32_t index = destination(to);
    auto& known = discovery_destinations_;
    if (std::find(known.begin(), known.end(), index) == known.end()) known.push_back(index);
  }
  if (universes_.empty()) return;
  const std::vector<packet::Universe> addresses = sync_.universes();
  universes_.insert(universes_.end(), addresses.begin(), addresses.end());
  std::sort(universes_.begin(), universes_.end());
  universes_.erase(std::unique(universes_.begin(), universes_.end()), universes_.end());
  discovery_.emplace(identity.cid, identity.source_name, universes_.size());
  discovery_->list(universes_);
  discovery_pages_.resize(discovery_->pages());
}

std::size_t Rows::row_of(std::size_t controller, std::uint16_t universe) const {
  const auto key = std::pair{controller, universe};
  const auto found = std::lower_bound(row_keys_.begin(), row_keys_.end(), key);
  PANEWALK_CHECK(found != row_keys_.end() && *found == key);
  return static_cast<std::size_t>(found - row_keys_.begin());
}

void Rows::lay_out(const Plan& plan, std::size_t prop) {
  const patch::PropPatch& patch = plan.patch.props[prop];
  PropLayout layout{
      .controller = patch.controller(), .order = patch.order(), .pixels = {}, .hidden = {}};
  const std::vector<std::size_t> slots = plan.canvas_slots(prop);
  const std::size_t pixels = plan.props[prop]->map.size();
  lay_out(patch, std::span{slots}.first(pixels), layout, layout.pixels);
  lay_out(patch, std::span{slots}.subspan(pixels), layout, layout.hidden);
  props_.push_back(std::move(layout));
}

void Rows::lay_out(const patch::PropPatch& patch, std::span<const std::size_t> slots,
                   const PropLayout& prop, Chips& chips) {
  const std::size_t channels = prop.order.channels();
  const auto slot_in = [this](std::size_t row, std::uint16_t channel) {
    return std::visit([channel](auto& packet) { return packet.slots().data() + (channel - 1); },
                      rows_[row].packet);
  };
  for (std::size_t chip = 0; chip < slots.size(); ++chip) {
    const patch::Channel first = patch.channel_of(slots[chip], 0);
    const patch::Channel last = patch.channel_of(slots[chip], channels - 1);
    if (first.universe == last.universe) {
      const std::size_t row = row_of(prop.controller, first.universe);
      std::uint8_t* out = slot_in(row, first.channel);
      Stretch* before = chips.stretches.empty() ? nullptr : &chips.stretches.back();
      if (before != nullptr && before->row == row && before->first + before->chips == chip &&
          before->out + before->chips * channels == out) {
        ++before->chips;
      } else {
        chips.stretches.push_back({.out = out, .row = row, .first = chip, .chips = 1});
      }
      continue;
    }
    for (std::size_t c = 0; c < channels; ++c) {
      const patch::Channel at = patch.channel_of(slots[chip], c);
      const std::size_t row = row_of(prop.controller, at.universe);
      chips.splits.push_back({.out = slot_in(row, at.channel),
                              .row = row,
                              .chip = chip,
                              .component = prop.order.components()[c]});
    }
  }
}

void Rows::wake() {
  for (Row& row : rows_) {
    if (row.silent || row.farewells > 0) row.cadence.restart();
    row.silent = false;
    row.farewells = 0;
  }
  if (discovery_) discovery_->list(universes_);
}

void Rows::begin_release() {
  for (Row& row : rows_) row.farewells = 0;
}

bool Rows::all_silent() const {
  return std::all_of(rows_.begin(), rows_.end(), [](const Row& row) { return row.silent; });
}

void Rows::pack(const light::SafeFrame& light, const std::vector<bool>& due,
                std::span<light::Extent> unpacked) {
  for (std::size_t prop = 0; prop < props_.size(); ++prop) {
    const PropLayout& layout = props_[prop];
    if (!due[layout.controller]) continue;
    const std::size_t hidden = props_.size() + prop;
    pack(light.prop(prop), layout, layout.pixels, unpacked[prop]);
    pack(light.prop(hidden), layout, layout.hidden, unpacked[hidden]);
    unpacked[prop] = unpacked[hidden] = {};
  }
}

void Rows::pack(std::span<const light::Colour> colours, const PropLayout& prop, const Chips& chips,
                const light::Extent& changed) {
  if (changed.empty()) return;
  std::array<std::uint8_t, packet::kMostSlots> octets;  // NOLINT: written before it is read
  const std::size_t channels = prop.order.channels();
  auto stretch = std::partition_point(
      chips.stretches.begin(), chips.stretches.end(),
      [&changed](const Stretch& each) { return each.first + each.chips <= changed.first; });
  for (; stretch != chips.stretches.end() && stretch->first < changed.end; ++stretch) {
    const std::size_t first = std::max(stretch->first, changed.first);
    const std::size_t count = std::min(stretch->first + stretch->chips, changed.end) - first;
    std::uint8_t* const out = stretch->out + (first - stretch->first) * channels;
    const auto fresh = std::span{octets}.first(count * channels);
    to_octets(colours.subspan(first, count), prop.order, fresh);
    if (std::memcmp(out, fresh.data(), fresh.size()) == 0) continue;
    std::memcpy(out, fresh.data(), fresh.size());
    rows_[stretch->row].changed = true;
  }
  auto split =
      std::partition_point(chips.splits.begin(), chips.splits.end(),
                           [&changed](const Split& each) { return each.chip < changed.first; });
  for (; split != chips.splits.end() && split->chip < changed.end; ++split) {
    const std::uint8_t level = light::level_of(colours[split->chip], split->component);
    if (*split->out != level) rows_[split->row].changed = true;
    *split->out = level;
  }
}

void Rows::append(Row& row, packet::Options options) {
  if (row.sync) {
    sync_.has_sent(*row.sync);
    // Where synchronization gets lost the light, and so the dark, is shown all the same (§6.2.6).
    options.force_synchronization = true;
  }
  if (auto* e131 = std::get_if<packet::E131Row>(&row.packet)) {
    e131->step().options(options);
    out_.push_back({.destination = row.destination, .bytes = e131->bytes()});
  } else {
    auto& artnet = std::get<packet::ArtDmxRow>(row.packet);
    out_.push_back({.destination = row.destination, .bytes = artnet.step().bytes()});
  }
}

void Rows::append_release(Row& row) {
  append(row, {.stream_terminated = row.farewells > 0});
  if (++row.farewells > packet::kTerminatedPackets) row.silent = true;
}

std::span<const OutPacket> Rows::send(Instant now, const std::vector<bool>& due, bool releasing) {
  out_.clear();
  sync_.begin();
  for (Row& row : rows_) {
    if (!due[row.controller] || row.silent) continue;
    if (releasing) {
      append_release(row);
    } else if (row.cadence.send(
                   now, row.changed ? packet::Content::kChanged : packet::Content::kUnchanged)) {
      append(row, {});
    }
    row.changed = false;
  }
  if (discovery_ && releasing && all_silent()) discovery_->list({});
  append_discovery(now);
  sync_.step();
  return out_;
}

void Rows::append_discovery(Instant now) {
  if (!discovery_ || !discovery_->due(now)) return;
  for (std::size_t i = 0; i < discovery_->pages(); ++i) {
    const auto octets = packet::encode(discovery_->page(i), discovery_pages_[i]);
    PANEWALK_CHECK(octets.has_value());
    for (const std::uint32_t to : discovery_destinations_) {
      out_.push_back({.destination = to, .bytes = std::span{discovery_pages_[i]}.first(*octets)});
    }
  }
}

std::span<const OutPacket> Rows::farewell(int round) {
  out_.clear();
  sync_.begin();
  for (Row& row : rows_) {
    if (row.silent) continue;
    const auto slots = std::visit([](auto& packet) { return packet.slots(); }, row.packet);
    std::fill(slots.begin(), slots.end(), std::uint8_t{0});
    append(row, {.stream_terminated = round > 0});
  }
  sync_.step();
  out_.insert(out_.end(), sync_.packets().begin(), sync_.packets().end());
  return out_;
}

}  // namespace panewalk::engine
