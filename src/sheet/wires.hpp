#pragma once

#include <string>
#include <vector>

#include "engine/plan.hpp"

namespace panewalk::sheet {

using base::Millimetres;

/// What each end of a wire takes beside its way: 1 1/2 in to strip and join, 1 in to spare (common
/// practice, no source).
inline constexpr Millimetres kAtEachEnd = Millimetres::of(63.5);

/// A wire that the builder cuts.
struct CutWire {
  std::string name;  ///< "S1", "tie-back", "power at A-B/99"
  std::string size;  ///< "18 AWG"
  int conductors = 3;
  Millimetres way;     ///< along the bars, or as the prop file says
  Millimetres length;  ///< to cut: with both ends
  [[nodiscard]] Millimetres of_conductor() const { return length * conductors; }
};

/// Hops and jumps (positive, data, ground) in data order, then the power pairs, then the lead where
/// the prop file gives one (positive, data, ground).
std::vector<CutWire> wires(const engine::PlannedProp& prop);

/// All conductors of a size together, in order of first use.
struct WireTotal {
  std::string size;
  Millimetres length;
};
std::vector<WireTotal> totals(const std::vector<CutWire>& wires);

}  // namespace panewalk::sheet
