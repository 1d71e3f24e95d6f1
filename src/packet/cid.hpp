#pragma once

#include <array>
#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace panewalk::packet {

/// Who sends: an RFC 4122 UUID, the same for the life of the component (E1.31-2018 5.6).
class Cid {
 public:
  using Octets = std::array<std::uint8_t, 16>;
  static constexpr Cid of(const Octets& octets) { return Cid{octets}; }
  /// RFC 4122 section 3: 8-4-4-4-12 hexadecimal digits of either case, or nothing.
  static std::optional<Cid> from_text(std::string_view text);
  [[nodiscard]] const Octets& octets() const { return octets_; }
  auto operator<=>(const Cid&) const = default;

 private:
  explicit constexpr Cid(const Octets& octets) : octets_{octets} {}
  Octets octets_;
};

/// RFC 4122 section 3, small letters.
std::string to_text(const Cid& cid);

}  // namespace panewalk::packet
