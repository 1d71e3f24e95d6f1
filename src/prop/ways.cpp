#include "prop/ways.hpp"

#include <algorithm>
#include <limits>
#include <queue>

namespace panewalk::prop {
namespace {

constexpr double kUnreached = std::numeric_limits<double>::infinity();

/// Millimetres along bars from `start` to every station (Dijkstra 1959).
std::vector<double> reach_from(const Frame& frame, StationIndex start) {
  std::vector<double> reach(frame.stations().size(), kUnreached);
  using Step = std::pair<double, std::uint32_t>;
  std::priority_queue<Step, std::vector<Step>, std::greater<>> open;
  reach[start.value()] = 0;
  open.emplace(0, start.value());
  while (!open.empty()) {
    const auto [so_far, station] = open.top();
    open.pop();
    if (so_far > reach[station]) continue;
    for (const Neighbour& next : frame.neighbours(StationIndex::of(station))) {
      const double along = so_far + next.along.value();
      if (along < reach[next.station.value()]) {
        reach[next.station.value()] = along;
        open.emplace(along, next.station.value());
      }
    }
  }
  return reach;
}

}  // namespace

Millimetres shortest_way(const Frame& frame, StationIndex from, StationIndex to) {
  const std::vector<double> here = reach_from(frame, from);
  if (here[to.value()] < kUnreached) return Millimetres::of(here[to.value()]);

  const std::vector<double> there = reach_from(frame, to);
  constexpr double kEqual = 1e-6;  // mm
  double closest = kUnreached;
  double shortest = kUnreached;
  for (const Joint& near : frame.joints()) {
    if (here[near.station.value()] == kUnreached) continue;
    for (const Joint& far : frame.joints()) {
      if (there[far.station.value()] == kUnreached) continue;
      const double gap = base::distance(near.at, far.at).value();
      if (gap > closest + kEqual) continue;
      if (gap < closest - kEqual) shortest = kUnreached;
      closest = std::min(closest, gap);
      shortest = std::min(shortest, here[near.station.value()] + gap + there[far.station.value()]);
    }
  }
  return Millimetres::of(shortest);
}

}  // namespace panewalk::prop
