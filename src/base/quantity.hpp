#pragma once

#include <compare>
#include <cstddef>
#include <cstdint>
#include <functional>

namespace panewalk::base {

/// A physical amount in the one unit that its tag names. Adds, scales, compares; two kinds never
/// mix.
template <class Tag>
class Quantity {
 public:
  constexpr Quantity() = default;
  /// The only way in from a bare number: the type's name at the call says the unit.
  static constexpr Quantity of(double amount) { return Quantity{amount}; }
  [[nodiscard]] constexpr double value() const { return value_; }

  constexpr auto operator<=>(const Quantity&) const = default;
  constexpr Quantity& operator+=(Quantity other) {
    value_ += other.value_;
    return *this;
  }
  friend constexpr Quantity operator+(Quantity a, Quantity b) {
    return Quantity{a.value_ + b.value_};
  }
  friend constexpr Quantity operator-(Quantity a, Quantity b) {
    return Quantity{a.value_ - b.value_};
  }
  friend constexpr Quantity operator-(Quantity a) { return Quantity{-a.value_}; }
  friend constexpr Quantity operator*(Quantity a, double factor) {
    return Quantity{a.value_ * factor};
  }
  friend constexpr Quantity operator*(double factor, Quantity a) {
    return Quantity{a.value_ * factor};
  }
  friend constexpr Quantity operator/(Quantity a, double divisor) {
    return Quantity{a.value_ / divisor};
  }
  friend constexpr double operator/(Quantity a, Quantity b) { return a.value_ / b.value_; }

 private:
  explicit constexpr Quantity(double amount) : value_{amount} {}
  double value_ = 0;
};

using Millimetres = Quantity<struct MillimetresTag>;
/// 0 points right, growing clockwise as seen from the front.
using Degrees = Quantity<struct DegreesTag>;
using Volts = Quantity<struct VoltsTag>;
using Amps = Quantity<struct AmpsTag>;
using Ohms = Quantity<struct OhmsTag>;
using Celsius = Quantity<struct CelsiusTag>;

/// A place in a numbered row. Compares and steps; two kinds never mix, and adding two makes no
/// sense.
template <class Tag>
class Ordinal {
 public:
  constexpr Ordinal() = default;
  static constexpr Ordinal of(std::size_t number) {
    return Ordinal{static_cast<std::uint32_t>(number)};
  }
  [[nodiscard]] constexpr std::uint32_t value() const { return value_; }
  constexpr auto operator<=>(const Ordinal&) const = default;
  [[nodiscard]] constexpr Ordinal next() const { return Ordinal{value_ + 1}; }

 private:
  explicit constexpr Ordinal(std::uint32_t number) : value_{number} {}
  std::uint32_t value_ = 0;
};

/// A place on the frame, from 0, in the order in which prop::build lays them. Says nothing of data.
using StationIndex = Ordinal<struct StationIndexTag>;
/// A place in the data order of one prop, from 1. Says nothing of where it sits.
using PixelIndex = Ordinal<struct PixelIndexTag>;
/// From 0.
using JointIndex = Ordinal<struct JointIndexTag>;
using BarIndex = Ordinal<struct BarIndexTag>;
using SectionIndex = Ordinal<struct SectionIndexTag>;

/// Seen from the front: x to the right, y down.
struct Point {
  Millimetres x, y;
  constexpr auto operator<=>(const Point&) const = default;
};

constexpr Point operator+(Point a, Point b) { return {a.x + b.x, a.y + b.y}; }
constexpr Point operator-(Point a, Point b) { return {a.x - b.x, a.y - b.y}; }
constexpr Point operator*(Point a, double factor) { return {a.x * factor, a.y * factor}; }

/// Straight-line distance.
Millimetres distance(Point a, Point b);

}  // namespace panewalk::base

template <class Tag>
struct std::hash<panewalk::base::Ordinal<Tag>> {
  std::size_t operator()(panewalk::base::Ordinal<Tag> ordinal) const noexcept {
    return ordinal.value();
  }
};
