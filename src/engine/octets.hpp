#pragma once

#include <cstdint>
#include <span>

#include "light/colour.hpp"

namespace panewalk::engine {

/// Writes the channels of whole pixels in their order on the wire. `out` has pixels × channels
/// octets.
void to_octets(std::span<const light::Colour> pixels, const light::ColourOrder& order,
               std::span<std::uint8_t> out);

}  // namespace panewalk::engine
