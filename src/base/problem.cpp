#include "base/problem.hpp"

#include <cstdio>
#include <iterator>
#include <utility>

namespace panewalk::base {
namespace {

bool is_control(char letter) {
  const auto byte = static_cast<unsigned char>(letter);
  return byte < 0x20 || byte == 0x7f;
}

/// As JSON escapes it: \u000a.
std::string escaped(char control) {
  char escape[7];
  std::snprintf(escape, sizeof escape, "\\u%04x",
                static_cast<unsigned>(static_cast<unsigned char>(control)));
  return escape;
}

std::string on_one_line(const std::string& text) {
  std::string line;
  for (const char letter : text) line += is_control(letter) ? escaped(letter) : std::string{letter};
  return line;
}

}  // namespace

std::string to_line(const Problem& problem) {
  std::string line;
  if (!problem.file.empty()) {
    line += problem.file;
    if (problem.line > 0) {
      line += ':' + std::to_string(problem.line) + ':' + std::to_string(problem.column);
    }
    line += ": ";
  }
  if (!problem.where.empty()) line += problem.where + ": ";
  line += problem.what;
  if (!problem.remedy.empty()) line += "; " + problem.remedy;
  return on_one_line(line);
}

std::string member(std::string_view pointer, std::string_view name) {
  std::string joined{pointer};
  joined += '/';
  for (const char letter : name) {
    if (letter == '~') {
      joined += "~0";
    } else if (letter == '/') {
      joined += "~1";
    } else {
      joined += letter;
    }
  }
  return joined;
}

std::string element(std::string_view pointer, std::size_t index) {
  return std::string{pointer} + '/' + std::to_string(index);
}

void append(Problems& all, Problems&& more) {
  all.insert(all.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
  more.clear();
}

std::string listed(const std::vector<std::string>& words, std::string_view last) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (i > 0) text += i + 1 == words.size() ? " " + std::string{last} + " " : ", ";
    text += words[i];
  }
  return text;
}

std::string quoted(std::string_view text, std::size_t most) {
  std::string safe{'"'};
  std::size_t characters = 0;
  for (const char letter : text) {
    const auto byte = static_cast<unsigned char>(letter);
    const bool continues_a_character = (byte & 0xc0U) == 0x80U;
    if (!continues_a_character && ++characters > most) return safe + "…\"";
    if (letter == '"' || letter == '\\') {
      safe += '\\';
      safe += letter;
    } else if (is_control(letter)) {
      safe += escaped(letter);
    } else {
      safe += letter;
    }
  }
  return safe + '"';
}

}  // namespace panewalk::base
