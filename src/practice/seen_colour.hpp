#pragma once

#include <optional>
#include <string_view>

#include "light/colour.hpp"

namespace panewalk::practice {

/// The colours that a builder tells apart at a glance.
enum class SeenColour : std::uint8_t {
  kDark,
  kRed,
  kGreen,
  kBlue,
  kWhite,
  kYellow,
  kCyan,
  kMagenta
};
inline constexpr int kSeenColours = 8;

/// "dark", "red", "green", "blue", "white", "yellow", "cyan", "magenta".
std::string_view to_text(SeenColour colour);
std::optional<SeenColour> seen_colour_from(std::string_view text);

/// The name of what a pixel shows: a channel counts from a quarter of the brightest one on, and a
/// lit white chip outshines the others (from memory: no source for the share).
SeenColour seen(light::Colour colour);

/// The colour at full.
light::Colour full(SeenColour colour);

}  // namespace panewalk::practice
