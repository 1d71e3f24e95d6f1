#include "base/problem.hpp"

#include <algorithm>
#include <cstdio>
#include <iterator>
#include <utility>

#include "base/utf8.hpp"

namespace panewalk::base {
namespace {

/// The octets of the control character at `at`; 0 if it is another. U+0080 to U+009F move a
/// terminal's cursor too; in UTF-8 they are 0xC2 and the number itself.
std::size_t control_character(std::string_view text, std::size_t at) {
  const auto byte = static_cast<unsigned char>(text[at]);
  if (byte < 0x20 || byte == 0x7f) return 1;
  const auto next = static_cast<unsigned char>(at + 1 < text.size() ? text[at + 1] : '\0');
  return byte == 0xc2 && next >= 0x80 && next < 0xa0 ? 2 : 0;
}

/// As JSON escapes it: \u000a, \u009b.
std::string escaped(char last_octet) {
  char escape[7];
  std::snprintf(escape, sizeof escape, "\\u%04x",
                static_cast<unsigned>(static_cast<unsigned char>(last_octet)));
  return escape;
}

std::string on_one_line(const std::string& text) {
  const std::string whole = in_utf8(text);
  std::string line;
  for (std::size_t at = 0; at < whole.size(); ++at) {
    const std::size_t control = control_character(whole, at);
    if (control == 0) {
      line += whole[at];
      continue;
    }
    at += control - 1;
    line += escaped(whole[at]);
  }
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
  for (std::size_t at = 0; at < text.size(); ++at) {
    const std::size_t control = control_character(text, at);
    const char letter = text[at];
    const bool continues_a_character = (static_cast<unsigned char>(letter) & 0xc0U) == 0x80U;
    if (!continues_a_character && ++characters > most) return safe + "…\"";
    if (control > 0) {
      at += control - 1;
      safe += escaped(text[at]);
      continue;
    }
    if (letter == '"' || letter == '\\') safe += '\\';
    safe += letter;
  }
  return safe + '"';
}

}  // namespace panewalk::base
