#include "cli/wrapped.hpp"

#include <algorithm>

namespace panewalk::cli {

std::string wrapped(std::string_view text, int columns) {
  const auto most = static_cast<std::size_t>(std::max(columns, 20));
  std::string out;
  std::size_t width = 0;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    if (width > 0 && width + 1 + end > most) {
      out += '\n';
      width = 0;
    } else if (width > 0) {
      out += ' ';
      ++width;
    }
    out += text.substr(0, end);
    width += end;
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return out;
}

std::string cut(std::string_view text, int columns) {
  int characters = 0;
  std::size_t last = 0;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool begins_one = (static_cast<unsigned char>(text[i]) & 0xc0U) != 0x80U;
    if (!begins_one) continue;
    if (characters == columns) return std::string{text.substr(0, last)} + "…";
    last = i;
    ++characters;
  }
  return std::string{text};
}

}  // namespace panewalk::cli
