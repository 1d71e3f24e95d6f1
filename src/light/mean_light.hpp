#pragma once

#include <cstdint>
#include <span>

#include "light/colour.hpp"

/// How much light some pixels give together, in whole units so that no rounding hides an edge.
namespace panewalk::light {

/// What one pixel at full red, green and blue adds to Sums::light, and half as much at half.
inline constexpr std::int64_t kFullLight = std::int64_t{10'000} * 255;
/// What one pixel at full red adds to Sums::red.
inline constexpr std::int64_t kFullRed = std::int64_t{16} * 255;

/// Sums over pixels, so that what changes can be taken out and put in again.
struct Sums {
  std::int64_t light = 0;  ///< relative luminance, see luminance()
  std::int64_t red = 0;    ///< saturated red, see saturated_red()
  Sums& operator+=(const Sums& other) {
    light += other.light;
    red += other.red;
    return *this;
  }
  Sums& operator-=(const Sums& other) {
    light -= other.light;
    red -= other.red;
    return *this;
  }
  bool operator==(const Sums&) const = default;
};

/// At most 2^32 pixels.
Sums sum(std::span<const Colour> pixels);

/// The levels of all channels added up, of white chips only where there are some. At most 2^32
/// pixels.
std::uint64_t sum_of_levels(std::span<const Colour> pixels, bool has_white);

/// Relative luminance of a colour, 0 … 1 for red, green and blue together (Rec. 709 weights on
/// levels that are linear in light); a white chip counts as 1 by itself.
double luminance(Colour colour);
/// Saturated red of a colour, 0 … 1: R − G − B where R is at least 0.8 of the sum, else 0. A white
/// chip counts as red, green and blue alike.
double saturated_red(Colour colour);

}  // namespace panewalk::light
