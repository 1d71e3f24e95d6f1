#include "prop/ways.hpp"

#include <algorithm>
#include <limits>
#include <queue>

namespace panewalk::prop {
namespace {

constexpr double kUnreached = std::numeric_limits<double>::infinity();

/// Ways along bars from one station to all others.
struct Reach {
  std::vector<double> along;            ///< millimetres
  std::vector<std::uint32_t> previous;  ///< the station before, on the way there
};

/// Dijkstra 1959.
Reach reach_from(const Frame& frame, StationIndex start) {
  const std::size_t stations = frame.stations().size();
  Reach reach{std::vector<double>(stations, kUnreached),
              std::vector<std::uint32_t>(stations, start.value())};
  using Step = std::pair<double, std::uint32_t>;
  std::priority_queue<Step, std::vector<Step>, std::greater<>> open;
  reach.along[start.value()] = 0;
  open.emplace(0, start.value());
  while (!open.empty()) {
    const auto [so_far, station] = open.top();
    open.pop();
    if (so_far > reach.along[station]) continue;
    for (const Neighbour& next : frame.neighbours(StationIndex::of(station))) {
      const double along = so_far + next.along.value();
      if (along < reach.along[next.station.value()]) {
        reach.along[next.station.value()] = along;
        reach.previous[next.station.value()] = station;
        open.emplace(along, next.station.value());
      }
    }
  }
  return reach;
}

/// Where a wire leaves the bars of its start and comes to those of its end.
struct Gap {
  StationIndex near, far;
  double whole_way = kUnreached;  ///< millimetres, from end to end
};

Gap best_gap(const Frame& frame, const Reach& here, const Reach& there) {
  constexpr double kEqual = 1e-6;  // mm
  double closest = kUnreached;
  Gap best;
  for (const Joint& near : frame.joints()) {
    if (here.along[near.station.value()] == kUnreached) continue;
    for (const Joint& far : frame.joints()) {
      if (there.along[far.station.value()] == kUnreached) continue;
      const double gap = base::distance(near.at, far.at).value();
      if (gap > closest + kEqual) continue;
      if (gap < closest - kEqual) best.whole_way = kUnreached;
      closest = std::min(closest, gap);
      const double way = here.along[near.station.value()] + gap + there.along[far.station.value()];
      if (way < best.whole_way) best = {near.station, far.station, way};
    }
  }
  return best;
}

/// From `station` back to where the reach began, both included.
std::vector<Point> way_back(const Frame& frame, const Reach& reach, StationIndex station) {
  std::vector<Point> points{frame[station].at};
  while (reach.along[station.value()] > 0) {
    station = StationIndex::of(reach.previous[station.value()]);
    points.push_back(frame[station].at);
  }
  return points;
}

}  // namespace

Millimetres shortest_way(const Frame& frame, StationIndex from, StationIndex to) {
  const Reach here = reach_from(frame, from);
  if (here.along[to.value()] < kUnreached) return Millimetres::of(here.along[to.value()]);
  return Millimetres::of(best_gap(frame, here, reach_from(frame, to)).whole_way);
}

std::vector<Point> shortest_path(const Frame& frame, StationIndex from, StationIndex to) {
  const Reach here = reach_from(frame, from);
  const bool joined = here.along[to.value()] < kUnreached;
  const Reach there = joined ? Reach{} : reach_from(frame, to);
  const Gap gap = joined ? Gap{} : best_gap(frame, here, there);
  std::vector<Point> points = way_back(frame, here, joined ? to : gap.near);
  std::reverse(points.begin(), points.end());
  if (!joined) {
    const std::vector<Point> rest = way_back(frame, there, gap.far);
    points.insert(points.end(), rest.begin(), rest.end());
  }
  return points;
}

}  // namespace panewalk::prop
