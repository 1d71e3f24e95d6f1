#include "scan/words.hpp"

#include <algorithm>
#include <cstdio>
#include <span>

#include "base/problem.hpp"
#include "packet/text.hpp"

namespace panewalk::scan {
namespace {

struct Stretch {
  std::uint32_t first, last;
};

// Unicode 15, general categories Cc, Cf, Zl and Zp, and the fillers that show nothing. From memory.
constexpr Stretch kUnseen[] = {
    {0x00, 0x1f},       {0x7f, 0x9f},       {0xad, 0xad},       {0x600, 0x605},
    {0x61c, 0x61c},     {0x6dd, 0x6dd},     {0x70f, 0x70f},     {0x890, 0x891},
    {0x8e2, 0x8e2},     {0x115f, 0x1160},   {0x180b, 0x180f},   {0x200b, 0x200f},
    {0x2028, 0x202e},   {0x2060, 0x206f},   {0x3164, 0x3164},   {0xfe00, 0xfe0f},
    {0xfeff, 0xfeff},   {0xffa0, 0xffa0},   {0xfff0, 0xfffb},   {0x110bd, 0x110bd},
    {0x110cd, 0x110cd}, {0x13430, 0x13455}, {0x1bca0, 0x1bca3}, {0x1d173, 0x1d17a},
    {0xe0000, 0xe0fff},
};

bool is_unseen(std::uint32_t code) {
  return std::any_of(std::begin(kUnseen), std::end(kUnseen), [code](Stretch stretch) {
    return code >= stretch.first && code <= stretch.last;
  });
}

struct Character {
  std::uint32_t code = 0;
  std::size_t octets = 0;  ///< 1 for what is not UTF-8, with code '?'
};

Character first_of(std::string_view text) {
  std::uint8_t head[4] = {};
  const std::size_t size = std::min<std::size_t>(text.size(), 4);
  std::transform(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(size), head,
                 [](char letter) { return static_cast<std::uint8_t>(letter); });
  const std::size_t octets = packet::utf8_character(std::span{head}.first(size));
  if (octets == 0) return {'?', 1};
  // RFC 3629 section 3: bits that the first octet of 1 to 4 holds.
  constexpr std::uint32_t kFirstBits[] = {0x7f, 0x1f, 0x0f, 0x07};
  std::uint32_t code = head[0] & kFirstBits[octets - 1];
  for (std::size_t i = 1; i < octets; ++i) code = code << 6U | (head[i] & 0x3fU);
  return {code, octets};
}

/// Wide characters begin at U+1100 (Unicode Standard Annex 11); some there are narrow.
std::size_t columns_of(std::uint32_t code) {
  return code >= 0x1100 && (code < 0x2000 || code >= 0x2600) ? 2 : 1;
}

std::size_t columns_of(std::string_view text) {
  std::size_t columns = 0;
  while (!text.empty()) {
    const Character next = first_of(text);
    columns += columns_of(next.code);
    text.remove_prefix(next.octets);
  }
  return columns;
}

std::string escaped(std::uint32_t code) {
  char escape[16];
  std::snprintf(escape, sizeof escape, "\\u%04x", code);
  return escape;
}

/// The octets of as many characters as fit, at least one.
std::size_t fitting(std::string_view word, std::size_t columns) {
  std::size_t octets = 0;
  while (octets < word.size()) {
    const Character next = first_of(word.substr(octets));
    const std::size_t width = columns_of(next.code);
    if (octets > 0 && width > columns) break;
    columns -= std::min(width, columns);
    octets += next.octets;
  }
  return octets;
}

}  // namespace

std::string shown(std::string_view text, std::size_t most) {
  std::string safe{'"'};
  std::size_t columns = 2;
  while (!text.empty()) {
    const Character next = first_of(text);
    std::string piece{text.substr(0, next.octets)};
    if (next.code == '?') piece = "?";
    if (next.code == '"' || next.code == '\\') piece.insert(0, 1, '\\');
    if (is_unseen(next.code)) piece = escaped(next.code);
    text.remove_prefix(next.octets);
    const std::size_t width = columns_of(piece);
    // Room for the "…", unless this is the end.
    if (columns + width + (text.empty() ? 0 : 1) > most) return safe + "…\"";
    safe += piece;
    columns += width;
  }
  return safe + '"';
}

std::string dotted(packet::Ipv4 address) {
  std::string text;
  for (const std::uint8_t octet : address) {
    if (!text.empty()) text += '.';
    text += std::to_string(octet);
  }
  return text;
}

std::string ranges(const std::vector<std::uint16_t>& ascending) {
  constexpr std::size_t kMost = 8;
  std::vector<std::string> words;
  for (std::size_t i = 0; i < ascending.size();) {
    if (words.size() == kMost) {
      words.push_back(std::to_string(ascending.size() - i) + " more");
      break;
    }
    std::size_t last = i;
    while (last + 1 < ascending.size() && ascending[last + 1] == ascending[last] + 1) ++last;
    words.push_back(std::to_string(ascending[i]));
    if (last == i + 1) words.push_back(std::to_string(ascending[last]));
    if (last > i + 1) words.back() += " to " + std::to_string(ascending[last]);
    i = last + 1;
  }
  return base::listed(words);
}

std::string numbered(patch::Protocol protocol, const std::vector<std::uint16_t>& ascending) {
  const std::string_view one = protocol == patch::Protocol::kE131 ? "universe" : "Port-Address";
  const std::string_view ending = protocol == patch::Protocol::kE131 ? "s " : "es ";
  return std::string{one} + std::string{ascending.size() == 1 ? " " : ending} + ranges(ascending);
}

std::string by_cards(const std::set<std::string>& cards) {
  std::vector<std::string> words;
  for (const std::string& card : cards) {
    if (!card.empty()) words.push_back(card);
  }
  return words.empty() ? std::string{} : " by " + base::listed(words);
}

std::string counted(std::uint64_t count, std::string_view one, std::string_view many) {
  return std::to_string(count) + ' ' + std::string{count == 1 ? one : many};
}

std::string seconds_text(base::Duration time) {
  char text[32];
  std::snprintf(text, sizeof text, "%.1f s", std::chrono::duration<double>(time).count());
  return text;
}

std::string percent(double share) {
  if (share > 0 && share < 0.001) return "below 0.1 %";
  char text[32];
  std::snprintf(text, sizeof text, "%.1f %%", share * 100);
  return text;
}

std::string wrapped(std::string_view text, std::size_t indent, std::size_t hang,
                    std::size_t columns) {
  std::string out(indent, ' ');
  std::size_t used = indent;
  bool begun = false;  // a word stands in this line
  const auto new_line = [&out, &used, &begun, hang] {
    out += '\n';
    out.append(hang, ' ');
    used = hang;
    begun = false;
  };
  while (!text.empty()) {
    std::string_view word = text.substr(0, text.find(' '));
    text.remove_prefix(std::min(word.size() + 1, text.size()));
    if (begun && used + 1 + columns_of(word) > columns) new_line();
    if (begun) {
      out += ' ';
      ++used;
    }
    while (used + columns_of(word) > columns) {
      const std::size_t octets = fitting(word, columns - used);
      out += word.substr(0, octets);
      word.remove_prefix(octets);
      new_line();
    }
    out += word;
    used += columns_of(word);
    begun = true;
  }
  return out + '\n';
}

}  // namespace panewalk::scan
