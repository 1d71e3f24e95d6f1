#include "sheet/wires.hpp"

#include <algorithm>

#include "config/units.hpp"
#include "prop/ways.hpp"

namespace panewalk::sheet {
namespace {

CutWire wire(std::string name, const power::Wire& size, int conductors, Millimetres way) {
  return {.name = std::move(name),
          .size = config::wire_text(size),
          .conductors = conductors,
          .way = way,
          .length = way + 2 * kAtEachEnd};
}

}  // namespace

std::vector<CutWire> wires(const engine::PlannedProp& prop) {
  std::vector<CutWire> all;
  for (const wiring::Splice& splice : prop.map.splices()) {
    all.push_back(wire("S" + std::to_string(all.size() + 1), prop.power.wire, 3, splice.wire));
  }
  for (const power::Feed& feed : prop.power.feeds) {
    if (feed.kind == power::Feed::Kind::kTieBack && prop.map.size() > 1) {
      const Millimetres way =
          prop::shortest_way(prop.frame, prop.map.station_of(base::PixelIndex::of(1)),
                             prop.map.station_of(base::PixelIndex::of(prop.map.size())));
      all.push_back(wire("tie-back", prop.power.wire, 2, way));
    }
    if (feed.kind == power::Feed::Kind::kInjection) {
      all.push_back(wire("power at " + feed.at, feed.wire, 2, feed.length));
    }
  }
  if (prop.power.lead) {
    all.push_back(wire("lead-in", prop.power.lead->wire, 3, prop.power.lead->length));
  }
  return all;
}

std::vector<WireTotal> totals(const std::vector<CutWire>& wires) {
  std::vector<WireTotal> all;
  for (const CutWire& wire : wires) {
    const auto same = std::find_if(all.begin(), all.end(), [&wire](const WireTotal& total) {
      return total.size == wire.size;
    });
    if (same == all.end()) {
      all.push_back({wire.size, wire.of_conductor()});
    } else {
      same->length += wire.of_conductor();
    }
  }
  return all;
}

}  // namespace panewalk::sheet
