#pragma once

#include <cstdint>
#include <vector>

#include "prop/frame.hpp"

namespace panewalk::wiring {

/// Whole micrometres, so that sums of wire compare without rounding.
using Micrometres = std::int64_t;

/// Between any two of the given stations, in rows, what prop::shortest_way says of each pair, to
/// the nearest micrometre. O(k n log n) for k of n stations.
std::vector<Micrometres> ways_between(const prop::Frame& frame,
                                      const std::vector<base::StationIndex>& stations);

}  // namespace panewalk::wiring
