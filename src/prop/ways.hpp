#pragma once

#include <vector>

#include "prop/frame.hpp"

namespace panewalk::prop {

/// Length of the shortest wire from one station to another that stays behind the bars. Where no
/// bars join them it goes along the bars to the closest joints of the two parts (the pair whose use
/// is shortest in all, where several pairs are equally close) and straight across the gap. O(n log
/// n) in the stations.
Millimetres shortest_way(const Frame& frame, StationIndex from, StationIndex to);

/// The places that this wire passes, from the first to the last: every station on its way, so that
/// it can be drawn behind the bars. One point where `from` is `to`. Between two stations of an arc
/// the wire is longer than the straight line between the points.
std::vector<Point> shortest_path(const Frame& frame, StationIndex from, StationIndex to);

}  // namespace panewalk::prop
