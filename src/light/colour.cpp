#include "light/colour.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/check.hpp"

namespace panewalk::light {
namespace {

std::uint8_t rounded(double level) {
  return static_cast<std::uint8_t>(std::lround(std::clamp(level, 0.0, 255.0)));
}

std::uint8_t part_way(std::uint8_t from, std::uint8_t to, double share) {
  return rounded(from + (static_cast<double>(to) - from) * share);
}

}  // namespace

std::optional<ColourOrder> ColourOrder::from(std::string_view letters) {
  if (letters.size() != 3 && letters.size() != 4) return std::nullopt;
  ColourOrder order;
  order.channels_ = static_cast<std::uint8_t>(letters.size());
  const std::string_view known = letters.size() == 4 ? "RGBW" : "RGB";
  std::array<bool, 4> seen{};
  for (std::size_t i = 0; i < letters.size(); ++i) {
    const std::size_t which = known.find(letters[i]);
    if (which == std::string_view::npos || seen[which]) return std::nullopt;
    seen[which] = true;
    order.order_[i] = static_cast<Component>(which);
  }
  return order;
}

std::string_view component_letter(Component component) {
  switch (component) {
    case Component::kRed: return "R";
    case Component::kGreen: return "G";
    case Component::kBlue: return "B";
    case Component::kWhite: return "W";
  }
  return "";
}

Colour dimmed(Colour colour, Level level) { return between(kBlack, colour, level.share()); }

Colour between(Colour from, Colour to, double share) {
  const double way = Level::of(share).share();
  return {part_way(from.red, to.red, way), part_way(from.green, to.green, way),
          part_way(from.blue, to.blue, way), part_way(from.white, to.white, way)};
}

void fill(std::span<Colour> colours, Colour colour) {
  std::array<Colour, 64> block;  // NOLINT: written before it is read
  const std::size_t first = std::min(block.size(), colours.size());
  std::fill_n(block.begin(), first, colour);
  for (std::size_t done = 0; done < colours.size(); done += block.size()) {
    std::copy_n(block.data(), std::min(block.size(), colours.size() - done), &colours[done]);
  }
}

void fade_in(std::span<const Colour> before, std::span<Colour> wanted, double share) {
  PANEWALK_CHECK(before.size() == wanted.size());
  constexpr std::uint32_t kOne = 1U << 16U;
  const auto to = static_cast<std::uint32_t>(std::lround(Level::of(share).share() * kOne));
  const std::uint32_t from = kOne - to;
  const auto mix = [from, to](std::uint8_t a, std::uint8_t b) {
    return static_cast<std::uint8_t>((a * from + b * to + kOne / 2) >> 16U);
  };
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    wanted[i] = {mix(before[i].red, wanted[i].red), mix(before[i].green, wanted[i].green),
                 mix(before[i].blue, wanted[i].blue), mix(before[i].white, wanted[i].white)};
  }
}

}  // namespace panewalk::light
