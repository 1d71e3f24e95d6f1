#pragma once

#include <cstddef>
#include <span>

#include "light/colour.hpp"
#include "power/description.hpp"

namespace panewalk::power {

/// The current of one prop for one frame.
struct PropLoad {
  Amps idle;  ///< every chip of the chain lit black, nulls and spares too
  Amps lit;   ///< what the light adds
  [[nodiscard]] Amps total() const { return idle + lit; }
};

/// `pixels` are lit by the frame; `chips` is the whole chain, nulls and spares counted (at least
/// as many); `channels` is 3 or 4, and white counts only with 4. A chip takes its idle current and
/// (full white − idle) × the mean of its channels. Does not allocate.
PropLoad load_of(std::span<const light::Colour> pixels, std::size_t chips, std::size_t channels,
                 const PixelPower& power);

/// The same with every channel of every pixel full on.
PropLoad full_load(std::size_t pixels, std::size_t chips, const PixelPower& power);

/// What the level limiter says about one supply and one frame.
struct LoadLimit {
  Amps asked;         ///< by the frame as it came
  Amps supply;        ///< the nameplate
  double factor = 1;  ///< 0 … 1: the light must be scaled by this
  [[nodiscard]] bool holds_back() const { return factor < 1; }
};

/// The factor for all props on one supply, so that their computed current is within its nameplate.
/// 0 where the idle current alone is over it: light would make it worse. Does not allocate.
LoadLimit limit_load(std::span<const PropLoad> loads, Amps supply);

/// Each channel times the factor, rounded down: rounding up may lift the current over the supply.
light::Colour held_down(light::Colour colour, double factor);

/// The level at which everything on the supply, lit white at that same level, stays within the
/// nameplate. `full` has every prop of the supply at full white.
light::Level level_limit(std::span<const PropLoad> full, Amps supply);

}  // namespace panewalk::power
