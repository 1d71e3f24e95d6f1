#pragma once

#include <array>
#include <compare>
#include <cstdint>
#include <string>

#include "base/result.hpp"

namespace panewalk::packet {

/// A number that the protocol has no place for.
struct OutOfRange {
  std::int64_t found = 0;
  std::int64_t least = 0;
  std::int64_t most = 0;
  bool operator==(const OutOfRange&) const = default;
};
/// "64000 is not allowed (1 to 63999)".
std::string to_text(const OutOfRange& fault);

/// An E1.31 universe for data or synchronization. E1.31-2018 6.2.7, 9.1.1: 1 to 63999.
class Universe {
 public:
  static constexpr std::uint16_t kLeast = 1;
  static constexpr std::uint16_t kMost = 63999;
  static base::Result<Universe, OutOfRange> from(std::int64_t number);
  [[nodiscard]] constexpr std::uint16_t value() const { return value_; }
  constexpr auto operator<=>(const Universe&) const = default;

 private:
  explicit constexpr Universe(std::uint16_t value) : value_{value} {}
  std::uint16_t value_;
};

/// Art-Net 4: 7 bits Net, 4 bits Sub-Net, 4 bits Universe; 0 to 32767.
class PortAddress {
 public:
  static constexpr std::uint16_t kMost = 0x7fff;
  static base::Result<PortAddress, OutOfRange> from(std::int64_t number);
  [[nodiscard]] constexpr std::uint16_t value() const { return value_; }
  [[nodiscard]] constexpr std::uint8_t net() const {
    return static_cast<std::uint8_t>(value_ >> 8U);
  }
  /// Sub-Net in the high nibble, Universe in the low one.
  [[nodiscard]] constexpr std::uint8_t sub_uni() const {
    return static_cast<std::uint8_t>(value_ & 0xffU);
  }
  constexpr auto operator<=>(const PortAddress&) const = default;

 private:
  explicit constexpr PortAddress(std::uint16_t value) : value_{value} {}
  std::uint16_t value_;
};

/// E1.31-2018 6.2.3: 0 to 200, 100 unless told otherwise.
class Priority {
 public:
  static constexpr std::uint8_t kMost = 200;
  constexpr Priority() = default;
  static base::Result<Priority, OutOfRange> from(std::int64_t number);
  [[nodiscard]] constexpr std::uint8_t value() const { return value_; }
  constexpr auto operator<=>(const Priority&) const = default;

 private:
  explicit constexpr Priority(std::uint8_t value) : value_{value} {}
  std::uint8_t value_ = 100;
};

using Ipv4 = std::array<std::uint8_t, 4>;

/// E1.31-2018 9.3.1, Table 9-10: 239.255, then the universe, high octet first.
constexpr Ipv4 multicast_group(Universe universe) {
  return {239, 255, static_cast<std::uint8_t>(universe.value() >> 8U),
          static_cast<std::uint8_t>(universe.value() & 0xffU)};
}

/// The group of E131_DISCOVERY_UNIVERSE, 64214 (E1.31-2018 12, Appendix A).
inline constexpr Ipv4 kDiscoveryGroup{239, 255, 250, 214};

/// ACN_SDT_MULTICAST_PORT (E1.31-2018 9.1.1, Appendix A).
inline constexpr std::uint16_t kE131UdpPort = 5568;
/// Art-Net 4: 0x1936.
inline constexpr std::uint16_t kArtNetUdpPort = 6454;

}  // namespace panewalk::packet
