#pragma once

#include <cstdint>
#include <vector>

namespace panewalk::wiring {

struct MatchEdge {
  int a = 0, b = 0;  ///< nodes from 0, not equal
  std::int64_t cost = 0;
};

/// Each node's partner in the perfect matching of least cost (Edmonds 1965); empty where there is
/// none. O(n m log n). Costs up to 2^60 in all. This header is C++17: see the source.
std::vector<int> cheapest_perfect_matching(int nodes, const std::vector<MatchEdge>& edges);

}  // namespace panewalk::wiring
