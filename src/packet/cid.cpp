#include "packet/cid.hpp"

namespace panewalk::packet {
namespace {

constexpr std::string_view kDigits = "0123456789abcdef";
constexpr std::size_t kTextSize = 36;

constexpr bool dash_at(std::size_t place) {
  return place == 8 || place == 13 || place == 18 || place == 23;
}

std::optional<std::uint8_t> nibble(char letter) {
  if (letter >= 'A' && letter <= 'F') letter = static_cast<char>(letter - 'A' + 'a');
  const std::size_t value = kDigits.find(letter);
  if (value == std::string_view::npos) return std::nullopt;
  return static_cast<std::uint8_t>(value);
}

}  // namespace

std::optional<Cid> Cid::from_text(std::string_view text) {
  if (text.size() != kTextSize) return std::nullopt;
  Octets octets{};
  std::size_t digits = 0;
  for (std::size_t place = 0; place < kTextSize; ++place) {
    if (dash_at(place)) {
      if (text[place] != '-') return std::nullopt;
      continue;
    }
    const std::optional<std::uint8_t> value = nibble(text[place]);
    if (!value) return std::nullopt;
    std::uint8_t& octet = octets[digits++ / 2];
    octet = static_cast<std::uint8_t>(octet << 4U | *value);
  }
  return Cid{octets};
}

std::string to_text(const Cid& cid) {
  std::string text;
  for (const std::uint8_t octet : cid.octets()) {
    if (dash_at(text.size())) text += '-';
    text += kDigits[octet >> 4U];
    text += kDigits[octet & 0x0fU];
  }
  return text;
}

}  // namespace panewalk::packet
