#pragma once

#include <vector>

#include "prop/frame.hpp"
#include "wiring/fewest_splices.hpp"

namespace panewalk::wiring {

/// An order for frames too large to search: stretches as the bars give them, then always on to the
/// nearest end of a stretch. Keeps `first` and `last`, not `longest`. About linear in the stations.
std::vector<base::StationIndex> greedy_order(const prop::Frame& frame, const RouteWishes& wishes);

}  // namespace panewalk::wiring
