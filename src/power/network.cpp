#include "power/network.hpp"

#include <algorithm>
#include <limits>

#include "base/nearest.hpp"
#include "power/wire.hpp"
#include "prop/ways.hpp"

namespace panewalk::power {
namespace {

using base::PixelIndex;
using base::Problem;
using base::StationIndex;

/// Neighbours on a bar; where two bars join the same stations the shorter one.
Millimetres along_bar(const prop::Frame& frame, StationIndex from, StationIndex to) {
  Millimetres shortest = Millimetres::of(std::numeric_limits<double>::infinity());
  for (const prop::Neighbour& next : frame.neighbours(from)) {
    if (next.station == to) shortest = std::min(shortest, next.along);
  }
  return shortest;
}

std::vector<Ohms> links_of(const prop::Frame& frame, const wiring::PixelMap& map,
                           const PowerDescription& power) {
  std::vector<Ohms> links;
  auto splice = map.splices().begin();
  for (std::size_t i = 2; i <= map.size(); ++i) {
    const PixelIndex here = PixelIndex::of(i);
    const PixelIndex before = PixelIndex::of(i - 1);
    if (map.reached_by(here) == wiring::ReachedBy::kRun) {
      const Millimetres way = along_bar(frame, map.station_of(before), map.station_of(here));
      links.push_back(loop_ohms(power.wire, way, power.temperature));
    } else {
      links.push_back(loop_ohms(power.wire, splice->wire, power.temperature) + power.contact);
      ++splice;
    }
  }
  return links;
}

Problem no_pixel_at(const prop::Frame& frame, const std::string& name, std::size_t feed) {
  const bool empty = frame.find_station(name).has_value();
  return {.where = base::element("/power/feeds", feed) + "/at",
          .what = empty ? base::quoted(name) + " has no pixel"
                        : "no joint or station is named " + base::quoted(name),
          .remedy = empty ? "the station of a pixel: power comes in where a pixel is"
                          : base::name_hint(name, frame.joint_names())};
}

}  // namespace

std::optional<PixelIndex> pixel_at(const prop::Frame& frame, const wiring::PixelMap& map,
                                   const std::string& name) {
  const auto station = frame.find_station(name);
  if (!station) return std::nullopt;
  return map.pixel_of(*station);
}

Millimetres way_between(const prop::Frame& frame, const wiring::PixelMap& map, PixelIndex from,
                        PixelIndex to) {
  return prop::shortest_way(frame, map.station_of(from), map.station_of(to));
}

base::Result<Network> build(const prop::Frame& frame, const wiring::PixelMap& map,
                            const PowerDescription& power, int nulls) {
  base::Problems problems;
  Network network;
  network.lead = power.lead;
  if (power.lead) {
    network.lead_ohms = loop_ohms(power.lead->wire, power.lead->length, power.temperature);
  }
  network.ladder.links = links_of(frame, map, power);
  network.extra_chips.resize(map.size());
  network.extra_chips.front() += nulls;
  for (const wiring::Spares& spares : map.spares()) {
    network.extra_chips[static_cast<std::size_t>(spares.after) - 1] += spares.count;
  }
  const bool has_lead_in =
      std::any_of(power.feeds.begin(), power.feeds.end(),
                  [](const Feed& feed) { return feed.kind == Feed::Kind::kLeadIn; });
  for (std::size_t i = 0; i < power.feeds.size(); ++i) {
    const Feed& feed = power.feeds[i];
    Leg leg{
        .kind = feed.kind, .at = feed.at, .node = 0, .wire = power.wire, .length = {}, .ohms = {}};
    Ladder& ladder = network.ladder;
    switch (feed.kind) {
      case Feed::Kind::kLeadIn:
        leg.at = "lead-in";
        ladder.taps.push_back({.node = 0, .ohms = network.lead_ohms});
        break;
      case Feed::Kind::kTieBack:
        leg.at = "tie-back";
        leg.node = map.size() - 1;
        leg.length = way_between(frame, map, PixelIndex::of(1), PixelIndex::of(map.size()));
        leg.ohms = loop_ohms(leg.wire, leg.length, power.temperature);
        if (power.lead && has_lead_in) {
          ladder.brace = leg.ohms;
        } else {
          ladder.taps.push_back({.node = leg.node, .ohms = network.lead_ohms + leg.ohms});
        }
        break;
      case Feed::Kind::kInjection: {
        const auto pixel = pixel_at(frame, map, feed.at);
        if (!pixel) {
          problems.push_back(no_pixel_at(frame, feed.at, i));
          break;
        }
        leg.node = pixel->value() - 1;
        leg.wire = feed.wire;
        leg.length = feed.length;
        leg.ohms = loop_ohms(leg.wire, leg.length, power.temperature);
        ladder.taps.push_back({.node = leg.node, .ohms = leg.ohms});
        break;
      }
    }
    network.legs.push_back(std::move(leg));
  }
  if (!problems.empty()) return problems;
  return network;
}

}  // namespace panewalk::power
