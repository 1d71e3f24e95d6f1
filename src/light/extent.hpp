#pragma once

#include <algorithm>
#include <cstddef>

namespace panewalk::light {

/// A stretch of a prop's pixels, counted from 0: first … end − 1.
struct Extent {
  std::size_t first = 0, end = 0;

  static constexpr Extent whole(std::size_t pixels) { return {0, pixels}; }
  [[nodiscard]] constexpr bool empty() const { return first >= end; }
  /// Grows to the shortest stretch that has both.
  constexpr void include(const Extent& other) {
    if (other.empty()) return;
    *this = empty() ? other : Extent{std::min(first, other.first), std::max(end, other.end)};
  }
  bool operator==(const Extent&) const = default;
};

}  // namespace panewalk::light
