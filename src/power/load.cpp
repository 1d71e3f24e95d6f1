#include "power/load.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "light/mean_light.hpp"

namespace panewalk::power {
namespace {

// A full white below idle can't be: then light adds nothing.
Amps added_by_light(const PixelPower& power) {
  return std::max(power.full_white - power.idle, Amps::of(0));
}

std::uint8_t scaled_down(std::uint8_t level, double factor) {
  return static_cast<std::uint8_t>(std::floor(level * factor));
}

}  // namespace

PropLoad load_of(std::span<const light::Colour> pixels, std::size_t chips, std::size_t channels,
                 const PixelPower& power) {
  const std::uint64_t levels = light::sum_of_levels(pixels, channels == 4);
  const double share = static_cast<double>(levels) / (255.0 * static_cast<double>(channels));
  return {power.idle * static_cast<double>(chips), added_by_light(power) * share};
}

PropLoad full_load(std::size_t pixels, std::size_t chips, const PixelPower& power) {
  return {power.idle * static_cast<double>(chips),
          added_by_light(power) * static_cast<double>(pixels)};
}

LoadLimit limit_load(std::span<const PropLoad> loads, Amps supply) {
  Amps idle;
  Amps lit;
  for (const PropLoad& load : loads) {
    idle += load.idle;
    lit += load.lit;
  }
  LoadLimit limit{idle + lit, supply, 1};
  const Amps left = supply - idle;
  if (left < Amps::of(0)) {
    limit.factor = 0;
  } else if (lit > left) {
    limit.factor = left / lit;
  }
  return limit;
}

light::Colour held_down(light::Colour colour, double factor) {
  const double share = light::Level::of(factor).share();
  return {scaled_down(colour.red, share), scaled_down(colour.green, share),
          scaled_down(colour.blue, share), scaled_down(colour.white, share)};
}

light::Level level_limit(std::span<const PropLoad> full, Amps supply) {
  return light::Level::of(limit_load(full, supply).factor);
}

}  // namespace panewalk::power
