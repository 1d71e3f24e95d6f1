#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <span>
#include <string>
#include <string_view>

#include "base/result.hpp"

namespace panewalk::packet {

enum class TextFault { kTooLong, kNotUtf8, kHoldsNul };
/// "is too long" and so on, to go after the name of the thing.
std::string_view to_text(TextFault fault);

/// Octets of the well-formed character that `octets` begin with (RFC 3629 section 4); 0 if none.
std::size_t utf8_character(std::span<const std::uint8_t> octets);

namespace detail {
/// Copies the text that ends at the first NUL; "?" for what is not UTF-8. `out` is one shorter than
/// `field`. Returns the octets used.
std::size_t repair(std::span<const std::uint8_t> field, std::span<std::uint8_t> out,
                   bool& repaired);
}  // namespace detail

/// UTF-8 in a field of `Size` octets of which the last is NUL. Holds its octets, never allocates.
template <std::size_t Size>
class Text {
 public:
  static constexpr std::size_t kMost = Size - 1;

  Text() = default;
  /// Never cuts: what is too long, not UTF-8 or holds a NUL is refused.
  static base::Result<Text, TextFault> from(std::string_view text) {
    if (text.size() > kMost) return TextFault::kTooLong;
    Text made;
    std::ranges::transform(text, made.octets_.begin(),
                           [](char letter) { return static_cast<std::uint8_t>(letter); });
    made.size_ = text.size();
    for (auto rest = made.octets(); !rest.empty();) {
      if (rest.front() == 0) return TextFault::kHoldsNul;
      const std::size_t step = utf8_character(rest);
      if (step == 0) return TextFault::kNotUtf8;
      rest = rest.subspan(step);
    }
    return made;
  }

  struct Read;
  /// As a receiver must take it: without a NUL the last octet is lost, what is not UTF-8 becomes
  /// "?", and octets after the NUL are ignored.
  static Read read(std::span<const std::uint8_t, Size> field) {
    Read made;
    made.text.size_ = detail::repair(field, made.text.octets_, made.repaired);
    return made;
  }

  [[nodiscard]] std::span<const std::uint8_t> octets() const {
    return std::span{octets_}.first(size_);
  }
  [[nodiscard]] std::string to_string() const { return {octets().begin(), octets().end()}; }
  bool operator==(const Text& other) const { return std::ranges::equal(octets(), other.octets()); }

 private:
  std::array<std::uint8_t, kMost> octets_{};
  std::size_t size_ = 0;
};

template <std::size_t Size>
struct Text<Size>::Read {
  Text text;
  bool repaired = false;
};

}  // namespace panewalk::packet
