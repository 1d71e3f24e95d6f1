#pragma once

#include <algorithm>
#include <compare>
#include <cstdint>
#include <vector>

#include "wiring/splice_problem.hpp"

namespace panewalk::wiring {

/// Two nodes, the lesser first; the gate is the node after the last.
struct Pair {
  int a = 0, b = 0;
  bool operator==(const Pair&) const = default;
  auto operator<=>(const Pair&) const = default;
};
inline Pair pair_of(int a, int b) { return {std::min(a, b), std::max(a, b)}; }

/// Every node has two slots, of which a stretch that stays whole fills one. A slot with one
/// neighbour to run to is that neighbour's alone, so that no run is taken twice; two joints with
/// free slots get a pair of helpers between them instead.
struct LinkModel {
  struct Slot {
    int node = 0;
    int only = SpliceProblem::kNone;  ///< the one node that it may run to
    bool any = false;                 ///< may run to all
  };
  struct Link {
    int a = 0, b = 0;  ///< slots
    std::int64_t cost = 0;
    Pair nodes;
    bool helper = false;  ///< between the two helpers of a run: taken where the run is not
  };
  std::vector<Slot> slots;
  std::vector<std::vector<int>> of_node;  ///< slots by node, the gate's last
  std::vector<Link> links;                ///< none that is longer than the longest wire
  int all_slots = 0;                      ///< helpers included, numbered after the slots
};
LinkModel link_model(const SpliceProblem& problem);

}  // namespace panewalk::wiring
