#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "prop/frame.hpp"
#include "wiring/way_table.hpp"

namespace panewalk::wiring {

/// The frame as what the search has to decide: nodes are pixels at which the data may come from or
/// go to somewhere else. The stations between two of them inside a bar always follow each other.
///
/// Why a cut inside a bar is never needed elsewhere: it would join two stretches (one splice less)
/// or close one to a ring. A ring may be cut anywhere along it; the two wires that leave at the cut
/// are shortest, by the slopes of the ways along the bar, with the cut at one of the bar's ends or
/// at its widest gap, and all of these places are nodes.
struct SpliceProblem {
  static constexpr int kNone = -1;
  struct Node {
    base::StationIndex station;
    int mate = kNone;  ///< the node at the other end of a stretch that stays whole
    std::vector<base::StationIndex> between = {};  ///< from here to the mate, both left out
    std::vector<int> beside = {};                  ///< nodes that the data can run to
  };
  std::vector<Node> nodes;
  std::vector<Micrometres> ways;  ///< rows of nodes
  int first = kNone, last = kNone;
  std::optional<Micrometres> longest;
  bool every_place = false;  ///< every pixel is a node
  std::vector<bool> hops;    ///< rows of nodes: the data would hop, not jump
  /// One splice costs more than all wire there can be, one too long more than all splices. Of equal
  /// wire the route with fewer jumps is the better: a micrometre costs more than all jumps.
  std::int64_t splice = 0, too_long = 0, micrometre = 1, jump = 0;

  [[nodiscard]] std::size_t size() const { return nodes.size(); }
  [[nodiscard]] Micrometres way(std::size_t a, std::size_t b) const {
    return ways[a * nodes.size() + b];
  }
  [[nodiscard]] bool are_beside(std::size_t a, std::size_t b) const;
  /// Splices and wire of a cost, without the jumps.
  [[nodiscard]] std::int64_t splices_in(std::int64_t cost) const { return cost / splice; }
  [[nodiscard]] Micrometres wire_in(std::int64_t cost) const { return cost % splice / micrometre; }
  /// Of the data going straight from one to the other; 0 between mates and where it runs.
  [[nodiscard]] std::int64_t cost(std::size_t a, std::size_t b) const;
};

struct ProblemEnds {
  std::optional<base::StationIndex> first, last;
  std::optional<base::Millimetres> longest;
};

/// Nothing where there would be more than `most_nodes`.
std::optional<SpliceProblem> splice_problem(const prop::Frame& frame, const ProblemEnds& ends,
                                            std::size_t most_nodes);

}  // namespace panewalk::wiring
