#include "base/utf8.hpp"

#include <algorithm>
#include <array>

namespace panewalk::base {
namespace {

/// RFC 3629 section 4: the first octet gives the length and what the second may be.
struct Form {
  std::uint8_t first_least, first_most;
  std::size_t size;
  std::uint8_t second_least, second_most;
};

// clang-format off
constexpr std::array<Form, 9> kForms{{
    {0x00, 0x7f, 1, 0x00, 0x00},
    {0xc2, 0xdf, 2, 0x80, 0xbf},
    {0xe0, 0xe0, 3, 0xa0, 0xbf},
    {0xe1, 0xec, 3, 0x80, 0xbf},
    {0xed, 0xed, 3, 0x80, 0x9f},
    {0xee, 0xef, 3, 0x80, 0xbf},
    {0xf0, 0xf0, 4, 0x90, 0xbf},
    {0xf1, 0xf3, 4, 0x80, 0xbf},
    {0xf4, 0xf4, 4, 0x80, 0x8f},
}};
// clang-format on

constexpr bool is_between(std::uint8_t octet, std::uint8_t least, std::uint8_t most) {
  return octet >= least && octet <= most;
}

}  // namespace

std::size_t utf8_character(std::span<const std::uint8_t> octets) {
  if (octets.empty()) return 0;
  for (const Form& form : kForms) {
    if (!is_between(octets[0], form.first_least, form.first_most)) continue;
    if (octets.size() < form.size) return 0;
    if (form.size > 1 && !is_between(octets[1], form.second_least, form.second_most)) return 0;
    for (std::size_t i = 2; i < form.size; ++i) {
      if (!is_between(octets[i], 0x80, 0xbf)) return 0;
    }
    return form.size;
  }
  return 0;
}

std::size_t utf8_character(std::string_view text) {
  std::array<std::uint8_t, 4> octets{};
  const std::size_t size = std::min(text.size(), octets.size());
  std::transform(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(size), octets.begin(),
                 [](char letter) { return static_cast<std::uint8_t>(letter); });
  return utf8_character(std::span{octets}.first(size));
}

std::string in_utf8(std::string_view text) {
  std::string safe;
  while (!text.empty()) {
    const std::size_t size = utf8_character(text);
    safe += size > 0 ? text.substr(0, size) : "\xef\xbf\xbd";
    text.remove_prefix(size > 0 ? size : 1);
  }
  return safe;
}

}  // namespace panewalk::base
