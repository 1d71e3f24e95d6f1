#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

namespace panewalk::light {

/// What one pixel is asked to show, before the order of its channels is applied. 0 … 255 each,
/// linear in light (a pixel's driver dims by pulse width). White is for four-channel pixels only.
struct Colour {
  std::uint8_t red = 0, green = 0, blue = 0, white = 0;
  constexpr bool operator==(const Colour&) const = default;
  [[nodiscard]] constexpr bool dark() const {
    return red == 0 && green == 0 && blue == 0 && white == 0;
  }
};

inline constexpr Colour kBlack{};

enum class Component : std::uint8_t { kRed, kGreen, kBlue, kWhite };

[[nodiscard]] constexpr std::uint8_t level_of(Colour colour, Component component) {
  switch (component) {
    case Component::kRed: return colour.red;
    case Component::kGreen: return colour.green;
    case Component::kBlue: return colour.blue;
    case Component::kWhite: return colour.white;
  }
  return 0;
}

/// The order of a pixel's channels in the universe: each of R, G, B (and W) once.
class ColourOrder {
 public:
  /// "GRB", "RGBW" …; nothing for anything that is not a permutation of RGB or RGBW.
  static std::optional<ColourOrder> from(std::string_view letters);
  /// RGB.
  constexpr ColourOrder() = default;
  /// 3 or 4.
  [[nodiscard]] constexpr std::size_t channels() const { return channels_; }
  [[nodiscard]] std::span<const Component> components() const { return {order_.data(), channels_}; }
  [[nodiscard]] constexpr bool has_white() const { return channels_ == 4; }
  constexpr bool operator==(const ColourOrder&) const = default;

 private:
  std::array<Component, 4> order_{Component::kRed, Component::kGreen, Component::kBlue,
                                  Component::kWhite};
  std::uint8_t channels_ = 3;
};

/// The letters of the order, such as "GRB".
std::string_view component_letter(Component component);

/// A share of full, 0 … 1.
class Level {
 public:
  constexpr Level() = default;
  /// Clamped to 0 … 1; not a number is 0.
  static constexpr Level of(double share) {
    return Level{share >= 1 ? 1.0 : (share > 0 ? share : 0.0)};
  }
  [[nodiscard]] constexpr double share() const { return share_; }
  constexpr auto operator<=>(const Level&) const = default;

 private:
  explicit constexpr Level(double share) : share_{share} {}
  double share_ = 1;
};

/// Each channel times the level, rounded to nearest.
Colour dimmed(Colour colour, Level level);

/// Share of the way from one colour to the other, 0 … 1.
Colour between(Colour from, Colour to, double share);

/// One colour for all.
void fill(std::span<Colour> colours, Colour colour);

/// Share of the way from `before` to what is wanted, 0 … 1, as long as each other; a level may be 1
/// off what between() says. For whole frames.
void fade_in(std::span<const Colour> before, std::span<Colour> wanted, double share);

}  // namespace panewalk::light
