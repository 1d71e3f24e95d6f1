#include "practice/seen_colour.hpp"

#include <algorithm>
#include <array>

namespace panewalk::practice {
namespace {

constexpr std::array<std::string_view, kSeenColours> kNames{"dark",  "red",    "green", "blue",
                                                            "white", "yellow", "cyan",  "magenta"};

/// By the channels that are lit: red 1, green 2, blue 4.
constexpr std::array<SeenColour, 8> kByChannels{
    SeenColour::kDark, SeenColour::kRed,     SeenColour::kGreen, SeenColour::kYellow,
    SeenColour::kBlue, SeenColour::kMagenta, SeenColour::kCyan,  SeenColour::kWhite};

}  // namespace

std::string_view to_text(SeenColour colour) { return kNames[static_cast<std::size_t>(colour)]; }

std::optional<SeenColour> seen_colour_from(std::string_view text) {
  const auto found = std::find(kNames.begin(), kNames.end(), text);
  if (found == kNames.end()) return std::nullopt;
  return static_cast<SeenColour>(found - kNames.begin());
}

SeenColour seen(light::Colour colour) {
  const int most = std::max({colour.red, colour.green, colour.blue, colour.white});
  if (most == 0) return SeenColour::kDark;
  const auto counts = [most](std::uint8_t level) { return level > 0 && level * 4 >= most; };
  if (counts(colour.white)) return SeenColour::kWhite;
  return kByChannels[(counts(colour.red) ? 1U : 0U) + (counts(colour.green) ? 2U : 0U) +
                     (counts(colour.blue) ? 4U : 0U)];
}

light::Colour full(SeenColour colour) {
  for (std::size_t channels = 0; channels < kByChannels.size(); ++channels) {
    if (kByChannels[channels] != colour) continue;
    const auto level = [channels](std::size_t bit) {
      return static_cast<std::uint8_t>((channels & bit) != 0 ? 255 : 0);
    };
    return {level(1), level(2), level(4), 0};
  }
  return light::kBlack;
}

}  // namespace panewalk::practice
