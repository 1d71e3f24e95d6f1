#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "light/colour.hpp"
#include "power/network.hpp"

namespace panewalk::power {

using Watts = base::Quantity<struct WattsTag>;

/// Where a network settles under a load.
struct Solution {
  std::vector<Volts> volts;  ///< by pixel
  std::vector<Amps> amps;    ///< drawn by each pixel
  std::vector<Amps> legs;    ///< by leg: what it brings into the chain
  Amps lead;                 ///< through the lead, where there is one
  Amps total;                ///< out of the supply
  Watts given;               ///< by the supply
  Watts chips;               ///< taken by pixels, nulls and spares
  Watts wire;                ///< lost in wire and contacts, summed resistor by resistor
  std::size_t lowest = 0;    ///< the pixel with the fewest volts, from 0; the first of equals

  [[nodiscard]] Volts lowest_volts() const { return volts[lowest]; }
};

/// `shares` has the mean of its channels of every pixel, 0 … 1; `source` is at the supply. A pixel
/// draws idle + (full white − idle) × share: as current, or as power at its nominal volts. Nothing
/// where pixels of constant power find no voltage to live at: the chain collapses. Below about
/// two thirds of their volts real pixels draw less than this says.
///
/// Constant power is solved by Newton's method from the supply's volts down, which comes to the
/// upper solution or finds that there is none (the monotone Newton theorem, Ortega and Rheinboldt
/// 1970, 13.3.4, from memory): current is convex in the drop and the matrix has no positive
/// off-diagonal.
std::optional<Solution> solve(const Network& network, const PixelPower& pixel, Volts source,
                              std::span<const double> shares);

/// Everything white at one level.
std::optional<Solution> solve_white(const Network& network, const PixelPower& pixel, Volts source,
                                    light::Level level);

/// The mean of the channels, 0 … 1; white counts with 4 channels only.
double share_of(light::Colour colour, std::size_t channels);

/// The least volts that a pixel should have: as declared, else 10 % under the supply (common
/// practice, no source).
Volts least_volts(const PixelPower& pixel, Volts source);

}  // namespace panewalk::power
