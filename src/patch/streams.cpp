#include <algorithm>
#include <set>
#include <utility>

#include "patch/patcher.hpp"
#include "patch/places.hpp"

/// The part of Patcher that looks at how streams get along with each other on the network.
namespace panewalk::patch {
namespace {

using base::quoted;
using std::to_string;

std::string named(const ControllerDescription& controller, std::size_t index,
                  std::string_view member) {
  return quoted(controller.name) + " (" + controller_place(index, member) + ")";
}

std::string milliseconds(base::Duration time) {
  const auto tenths = std::chrono::duration_cast<std::chrono::microseconds>(time).count() / 100;
  return to_string(tenths / 10) + '.' + to_string(tenths % 10) + " ms";
}

}  // namespace

void Patcher::check_streams() {
  for (std::size_t i = 0; i < controllers_.size(); ++i) {
    check_art_sync(i);
    if (!controllers_[i].sync) continue;
    check_sync_rates(i);
    check_sync_delay(i);
    check_sync_universe(i);
  }
  check_doubled_universes();
}

/// One synchronization packet ends the frame of all of them.
void Patcher::check_sync_rates(std::size_t controller) {
  const ControllerDescription& one = controllers_[controller];
  for (std::size_t before = 0; before < controller; ++before) {
    const ControllerDescription& other = controllers_[before];
    if (other.protocol != one.protocol || other.sync != one.sync) continue;
    if (other.frames_per_second == one.frames_per_second) return;
    problems_.push_back(problem(
        controller_place(controller, "rate"),
        to_string(one.frames_per_second) + " per second, but " + named(other, before, "rate") +
            ", which shows its frames at the same time, has " + to_string(other.frames_per_second),
        "one rate for all that share a \"sync\""));
    return;
  }
}

void Patcher::check_sync_delay(std::size_t controller) {
  const ControllerDescription& one = controllers_[controller];
  const base::Duration frame = base::Duration{std::chrono::seconds{1}} / one.frames_per_second;
  if (network_.sync_delay < frame) return;
  problems_.push_back(
      problem("/network/sync_delay",
              "as long as a frame of " + named(one, controller, "rate") + " or longer",
              "less than " + milliseconds(frame)));
}

void Patcher::check_sync_universe(std::size_t controller) {
  const ControllerDescription& one = controllers_[controller];
  if (one.protocol != Protocol::kE131) return;
  const auto told = [&](std::size_t before) {
    return controllers_[before].protocol == one.protocol && controllers_[before].sync == one.sync;
  };
  for (std::size_t before = 0; before < controller; ++before) {
    if (told(before)) return;
  }
  for (std::size_t i = 0; i < props_.size(); ++i) {
    if (!placed_[i] || controllers_[placed_[i]->controller()].protocol != Protocol::kE131) continue;
    const int address = one.sync->universe;
    if (address < placed_[i]->first_universe() || address > placed_[i]->last_universe()) continue;
    notes_.push_back(problem(controller_place(controller, "sync"),
                             "synchronization address " + to_string(address) +
                                 " is a universe of " + quoted(props_[i].name) + " too (" +
                                 prop_place(i, "universe") + ")",
                             "E1.31 §4.2 allows it; a number of its own is easier to tell apart"));
    return;
  }
}

/// Art-Net 4, ArtSync: it is broadcast, and a node that hears one holds what follows for the next.
void Patcher::check_art_sync(std::size_t controller) {
  const ControllerDescription& one = controllers_[controller];
  if (one.protocol != Protocol::kArtNet || one.sync) return;
  const auto synced = std::find_if(controllers_.begin(), controllers_.end(), [](const auto& other) {
    return other.protocol == Protocol::kArtNet && other.sync;
  });
  if (synced == controllers_.end()) return;
  const auto index = static_cast<std::size_t>(synced - controllers_.begin());
  notes_.push_back(problem(base::element("/controllers", controller),
                           "on the same network it hears the ArtSync for " +
                               named(*synced, index, "sync") + " too and waits for it",
                           "give it \"sync\": \"broadcast\" and the same rate"));
}

/// Each stream numbers its own packets, and all of them come from one source: a receiver that hears
/// two of a universe takes the later numbers for late packets and drops them (E1.31-2018 §6.7.2).
/// Unicast to two addresses is heard by one receiver each.
void Patcher::check_doubled_universes() {
  std::set<std::pair<std::size_t, std::size_t>> told;  // pairs of controllers
  each_two_on_a_universe([&](std::size_t earlier, std::size_t later, int first) {
    const std::size_t a = placed_[earlier]->controller();
    const std::size_t b = placed_[later]->controller();
    const ControllerDescription& one = controllers_[a];
    const ControllerDescription& other = controllers_[b];
    if (one.protocol != Protocol::kE131 || other.protocol != Protocol::kE131) return;
    const bool other_card = one.interface && other.interface && one.interface != other.interface;
    const bool both = one.address.multicast && other.address.multicast;
    const bool mixed = one.address.multicast != other.address.multicast;
    // By one card twice is a doubled destination.
    if (!mixed && !(both && other_card)) return;
    if (!told.insert(std::minmax(a, b)).second) return;
    const auto way = [&](const ControllerDescription& by, std::size_t prop) {
      return std::string{by.address.multicast ? "multicast" : "unicast"} + " for " +
             quoted(props_[prop].name) + " on " + quoted(by.name) + " (" +
             prop_place(prop, "universe") + ")";
    };
    const std::string what = "universe " + to_string(first) + " goes out by " + way(other, later) +
                             " and by " + way(one, earlier);
    if (other_card) {
      notes_.push_back(problem(prop_place(later, "universe"), what,
                               "a receiver that hears both cards drops packets"));
    } else {
      problems_.push_back(problem(prop_place(later, "universe"), what,
                                  "a receiver that hears both drops packets; give each a "
                                  "universe of its own, or send both by unicast"));
    }
  });
}

}  // namespace panewalk::patch
