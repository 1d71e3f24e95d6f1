#pragma once

#include <cstddef>
#include <vector>

#include "base/quantity.hpp"

namespace panewalk::sheet {

/// Which pieces are sawn from which stick of stock.
struct Packing {
  std::vector<std::vector<std::size_t>> sticks;  ///< indices of the pieces, the longest first
  /// No packing has fewer: all pieces with their cuts, laid end to end, fill as many.
  std::size_t bound = 0;
  bool proven = false;  ///< no packing has fewer than this one
};

/// The fewest sticks where the search ends in time, else first-fit decreasing or better (that is at
/// most 11/9 of the fewest and 6/9, Dósa 2007, from memory). A cut takes `kerf`; none is needed
/// after the last piece of a stick. No piece may be longer than the stock.
Packing pack(const std::vector<base::Millimetres>& pieces, base::Millimetres stock,
             base::Millimetres kerf);

/// What is left of a stick, its cuts taken off.
base::Millimetres leftover(const std::vector<base::Millimetres>& pieces,
                           const std::vector<std::size_t>& stick, base::Millimetres stock,
                           base::Millimetres kerf);

}  // namespace panewalk::sheet
