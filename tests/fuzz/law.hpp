#pragma once

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <span>
#include <string>
#include <string_view>

/// What all fuzz targets share: a law that is broken ends the program, and its words say which.
namespace panewalk::fuzz {

inline void hold(bool kept, std::string_view law, std::string_view found = "") {
  if (kept) return;
  std::fprintf(stderr, "broken: %.*s\n%.*s\n", static_cast<int>(law.size()), law.data(),
               static_cast<int>(found.size()), found.data());
  std::abort();
}

inline std::string text_of(const std::uint8_t* data, std::size_t size) {
  const std::span octets{data, size};
  return {octets.begin(), octets.end()};
}

/// RFC 3629 section 3, read apart from base::in_utf8, which is what is tested.
inline bool is_utf8(std::string_view text) {
  while (!text.empty()) {
    const auto first = static_cast<unsigned char>(text[0]);
    const std::size_t size = first < 0x80 ? 1 : first < 0xe0 ? 2 : first < 0xf0 ? 3 : 4;
    if ((first >= 0x80 && first < 0xc0) || first >= 0xf8 || text.size() < size) return false;
    std::uint32_t code = size == 1 ? first : first & (0x7fU >> size);
    for (std::size_t i = 1; i < size; ++i) {
      const auto octet = static_cast<unsigned char>(text[i]);
      if ((octet & 0xc0U) != 0x80) return false;
      code = code << 6U | (octet & 0x3fU);
    }
    constexpr std::uint32_t kLeast[] = {0, 0x80, 0x800, 0x10000};
    const bool is_surrogate = code >= 0xd800 && code <= 0xdfff;
    if (code < kLeast[size - 1] || code > 0x10ffff || is_surrogate) return false;
    text.remove_prefix(size);
  }
  return true;
}

/// No control character, of ASCII or of C1 (U+0080 to U+009F, in UTF-8 0xc2 and that octet).
inline bool is_plain(std::string_view text) {
  unsigned before = 0;
  for (const char letter : text) {
    const auto octet = static_cast<unsigned char>(letter);
    if (octet < 0x20 || octet == 0x7f) return false;
    if (before == 0xc2 && octet < 0xa0) return false;
    before = octet;
  }
  return true;
}

/// Octets taken from the front, zeros behind the end.
class Cursor {
 public:
  Cursor(const std::uint8_t* data, std::size_t size) : rest_{data, size} {}
  [[nodiscard]] bool empty() const { return rest_.empty(); }
  std::uint8_t octet() {
    if (rest_.empty()) return 0;
    const std::uint8_t first = rest_.front();
    rest_ = rest_.subspan(1);
    return first;
  }
  /// High octet first.
  unsigned two_octets() {
    const unsigned high = octet();
    return high << 8U | octet();
  }
  std::span<const std::uint8_t> take(std::size_t most) {
    const auto taken = rest_.first(std::min(most, rest_.size()));
    rest_ = rest_.subspan(taken.size());
    return taken;
  }

 private:
  std::span<const std::uint8_t> rest_;
};

}  // namespace panewalk::fuzz
