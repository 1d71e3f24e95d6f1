#pragma once

#include "prop/frame.hpp"

namespace panewalk::prop {

/// Length of the shortest wire from one station to another that stays behind the bars. Where no
/// bars join them it goes along the bars to the closest joints of the two parts (the pair whose use
/// is shortest in all, where several pairs are equally close) and straight across the gap. O(n log
/// n) in the stations.
Millimetres shortest_way(const Frame& frame, StationIndex from, StationIndex to);

}  // namespace panewalk::prop
