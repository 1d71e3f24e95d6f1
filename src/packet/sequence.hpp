#pragma once

#include <compare>
#include <cstdint>
#include <optional>

namespace panewalk::packet {

/// E1.31-2018 6.2.5: one more a packet, modulo 256.
class Sequence {
 public:
  constexpr Sequence() = default;
  static constexpr Sequence of(std::uint8_t value) { return Sequence{value}; }
  [[nodiscard]] constexpr std::uint8_t value() const { return value_; }
  [[nodiscard]] constexpr Sequence next() const {
    return Sequence{static_cast<std::uint8_t>(value_ + 1)};
  }
  constexpr bool operator==(const Sequence&) const = default;

 private:
  explicit constexpr Sequence(std::uint8_t value) : value_{value} {}
  std::uint8_t value_ = 0;
};

/// Steps from one to the other by the shorter way round, -128 to 127.
constexpr int distance(Sequence from, Sequence to) {
  const auto steps = static_cast<std::uint8_t>(to.value() - from.value());
  return static_cast<std::int8_t>(steps);
}

/// E1.31-2018 6.7.2: a receiver drops what comes -19 to 0 steps after the last it took.
constexpr bool receiver_drops(Sequence last, Sequence arrived) {
  const int steps = distance(last, arrived);
  return steps > -20 && steps <= 0;
}

/// Art-Net 4, ArtDmx: 1 to 255, then 1 again. 0 means "not used", which is no value of this type.
class ArtSequence {
 public:
  constexpr ArtSequence() = default;
  /// Nothing for 0.
  static constexpr std::optional<ArtSequence> from_octet(std::uint8_t octet) {
    if (octet == 0) return std::nullopt;
    return ArtSequence{octet};
  }
  [[nodiscard]] constexpr std::uint8_t value() const { return value_; }
  [[nodiscard]] constexpr ArtSequence next() const {
    return ArtSequence{value_ == 255 ? std::uint8_t{1} : static_cast<std::uint8_t>(value_ + 1)};
  }
  constexpr bool operator==(const ArtSequence&) const = default;

 private:
  explicit constexpr ArtSequence(std::uint8_t value) : value_{value} {}
  std::uint8_t value_ = 1;
};

}  // namespace panewalk::packet
