#include "packet/text.hpp"

namespace panewalk::packet {
namespace {

/// RFC 3629 section 4: the first octet gives the length and what the second may be.
struct Form {
  std::uint8_t first_least, first_most;
  std::size_t size;
  std::uint8_t second_least, second_most;
};

// clang-format off
constexpr Form kForms[] = {
    {0x00, 0x7f, 1, 0x00, 0x00},
    {0xc2, 0xdf, 2, 0x80, 0xbf},
    {0xe0, 0xe0, 3, 0xa0, 0xbf},
    {0xe1, 0xec, 3, 0x80, 0xbf},
    {0xed, 0xed, 3, 0x80, 0x9f},
    {0xee, 0xef, 3, 0x80, 0xbf},
    {0xf0, 0xf0, 4, 0x90, 0xbf},
    {0xf1, 0xf3, 4, 0x80, 0xbf},
    {0xf4, 0xf4, 4, 0x80, 0x8f},
};
// clang-format on

constexpr bool between(std::uint8_t octet, std::uint8_t least, std::uint8_t most) {
  return octet >= least && octet <= most;
}

}  // namespace

std::string_view to_text(TextFault fault) {
  switch (fault) {
    case TextFault::kTooLong: return "is too long";
    case TextFault::kNotUtf8: return "is not UTF-8";
    case TextFault::kHoldsNul: return "holds a NUL";
  }
  return "";
}

std::size_t utf8_character(std::span<const std::uint8_t> octets) {
  if (octets.empty()) return 0;
  for (const Form& form : kForms) {
    if (!between(octets[0], form.first_least, form.first_most)) continue;
    if (octets.size() < form.size) return 0;
    if (form.size > 1 && !between(octets[1], form.second_least, form.second_most)) return 0;
    for (std::size_t i = 2; i < form.size; ++i) {
      if (!between(octets[i], 0x80, 0xbf)) return 0;
    }
    return form.size;
  }
  return 0;
}

std::size_t detail::repair(std::span<const std::uint8_t> field, std::span<std::uint8_t> out,
                           bool& repaired) {
  const auto end = std::ranges::find(field, std::uint8_t{0});
  repaired = end == field.end();
  auto rest = field.first(
      std::min(out.size(), static_cast<std::size_t>(std::distance(field.begin(), end))));
  std::size_t used = 0;
  while (!rest.empty()) {
    const std::size_t step = utf8_character(rest);
    if (step == 0) {
      repaired = true;
      out[used++] = '?';
      rest = rest.subspan(1);
    } else {
      std::ranges::copy(rest.first(step), out.subspan(used).begin());
      used += step;
      rest = rest.subspan(step);
    }
  }
  return used;
}

}  // namespace panewalk::packet
