#include "packet/text.hpp"

#include "base/utf8.hpp"

namespace panewalk::packet {

std::string_view to_text(TextFault fault) {
  switch (fault) {
    case TextFault::kTooLong: return "is too long";
    case TextFault::kNotUtf8: return "is not UTF-8";
    case TextFault::kHoldsNul: return "holds a NUL";
  }
  return "";
}

std::size_t utf8_character(std::span<const std::uint8_t> octets) {
  return base::utf8_character(octets);
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
