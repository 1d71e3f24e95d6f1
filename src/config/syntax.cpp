#include "config/syntax.hpp"

#include <algorithm>
#include <cstdio>

#include "base/problem.hpp"

namespace panewalk::config {
namespace {

constexpr std::string_view kBlanks = " \t\n\r";
constexpr std::string_view kInNumbers = "0123456789+-.eE";

bool is_digit(char letter) { return letter >= '0' && letter <= '9'; }

bool is_letter(char letter) {
  return (letter >= 'a' && letter <= 'z') || (letter >= 'A' && letter <= 'Z');
}

/// Bytes of the UTF-8 character that begins here; 0 where none does (RFC 3629, section 4).
std::size_t character_length(std::string_view text, std::size_t at) {
  const auto byte = [text, at](std::size_t i) -> unsigned {
    return at + i < text.size() ? static_cast<unsigned char>(text[at + i]) : 0U;
  };
  const auto tail = [&byte](std::size_t i, unsigned least = 0x80, unsigned most = 0xbf) {
    return byte(i) >= least && byte(i) <= most;
  };
  const unsigned first = byte(0);
  if (first < 0x80) return 1;
  if (first >= 0xc2 && first <= 0xdf) return tail(1) ? 2 : 0;
  if (first == 0xe0) return tail(1, 0xa0) && tail(2) ? 3 : 0;
  if (first == 0xed) return tail(1, 0x80, 0x9f) && tail(2) ? 3 : 0;
  if (first >= 0xe1 && first <= 0xef) return tail(1) && tail(2) ? 3 : 0;
  if (first == 0xf0) return tail(1, 0x90) && tail(2) && tail(3) ? 4 : 0;
  if (first >= 0xf1 && first <= 0xf3) return tail(1) && tail(2) && tail(3) ? 4 : 0;
  if (first == 0xf4) return tail(1, 0x80, 0x8f) && tail(2) && tail(3) ? 4 : 0;
  return 0;
}

/// The letters from `at` that look like a number.
std::string_view number_like(std::string_view text, std::size_t at) {
  return text.substr(at, std::min(text.find_first_not_of(kInNumbers, at), text.size()) - at);
}

std::string as_hex(char letter) {
  char text[8];
  std::snprintf(text, sizeof text, "0x%02x",
                static_cast<unsigned>(static_cast<unsigned char>(letter)));
  return text;
}

/// The word, number or single character at `at`, for people.
std::string found_at(std::string_view text, std::size_t at) {
  std::size_t length = 0;
  if (is_letter(text[at])) {
    while (at + length < text.size() && is_letter(text[at + length])) ++length;
  } else if (is_digit(text[at])) {
    length = number_like(text, at).size();
  } else {
    length = character_length(text, at);
  }
  return "found " + base::quoted(text.substr(at, length));
}

/// The four hex digits from `at`, or nothing.
std::optional<unsigned> hex4(std::string_view text, std::size_t at) {
  unsigned value = 0;
  for (std::size_t i = at; i < at + 4; ++i) {
    const char letter = i < text.size() ? text[i] : ' ';
    if (is_digit(letter)) {
      value = value * 16 + static_cast<unsigned>(letter - '0');
    } else if ((letter >= 'a' && letter <= 'f') || (letter >= 'A' && letter <= 'F')) {
      value = value * 16 + static_cast<unsigned>((letter & 0x5f) - 'A' + 10);
    } else {
      return std::nullopt;
    }
  }
  return value;
}

/// The fault of the escape at the backslash `at`; otherwise its length.
std::optional<Fault> bad_escape(std::string_view text, std::size_t at, std::size_t& length) {
  constexpr std::string_view kEscapes = "\"\\/bfnrt";
  length = 2;
  const char letter = at + 1 < text.size() ? text[at + 1] : ' ';
  if (kEscapes.find(letter) != std::string_view::npos) return std::nullopt;
  if (letter != 'u') {
    return Fault{at, "a backslash that begins no escape",
                 R"(\\ is a backslash, \" a quote, \n a line break)"};
  }
  const auto unit = hex4(text, at + 2);
  if (!unit) return Fault{at, "\\u without four hex digits", "such as \\u00b5"};
  length = 6;
  if (*unit < 0xd800 || *unit > 0xdfff) return std::nullopt;
  const auto low = text.substr(at + 6, 2) == "\\u" ? hex4(text, at + 8) : std::nullopt;
  if (*unit <= 0xdbff && low && *low >= 0xdc00 && *low <= 0xdfff) {
    length = 12;
    return std::nullopt;
  }
  return Fault{at, "half of a surrogate pair", "write the character itself"};
}

/// The fault of the string whose opening quote is at `open`, if it has one; `past` is its end.
std::optional<Fault> bad_string(std::string_view text, std::size_t open, std::size_t& past) {
  for (std::size_t at = open + 1; at < text.size();) {
    const char letter = text[at];
    if (letter == '"') {
      past = at + 1;
      return std::nullopt;
    }
    if (letter == '\n' || letter == '\r') break;
    if (letter == '\t') return Fault{at, "a tab inside a text", "\\t, or a blank"};
    std::size_t length = 1;
    if (letter == '\\') {
      if (auto fault = bad_escape(text, at, length)) return fault;
    }
    at += length;
  }
  return Fault{open, "a text that is not closed in its line", "a double quote ends it"};
}

Fault bad_number(std::string_view text, std::size_t at) {
  const std::string_view number = number_like(text, at);
  const std::string found = base::quoted(number);
  const std::size_t first = number.front() == '-' ? 1 : 0;
  if (number.size() > first + 1 && number[first] == '0' && is_digit(number[first + 1])) {
    return {at, "a number can't begin with 0: " + found, {}};
  }
  if (number_length(number, 0) == number.size()) return {at, "a number too large: " + found, {}};
  return {at, "not a number: " + found, "such as 12, -3 or 0.5"};
}

Fault bad_value(std::string_view text, std::size_t at) {
  const char letter = text[at];
  if (letter == '"') {
    std::size_t past = 0;
    if (auto fault = bad_string(text, at, past)) return *fault;
    return {at, "a text that can't be read", {}};
  }
  if (letter == '-' || is_digit(letter)) return bad_number(text, at);
  if (letter == '\'') return {at, "found a single quote", "double quotes are needed around texts"};
  if (letter == ',') return {at, "found \",\"", "a value is missing in front of the comma"};
  if (is_letter(letter)) {
    return {at, found_at(text, at), "texts need double quotes; bare words are true, false, null"};
  }
  return {at, found_at(text, at), "a value is needed here"};
}

std::string needed(Expected expected) {
  switch (expected) {
    case Expected::kValue:
    case Expected::kElement: return "a value is needed";
    case Expected::kFirstElement: return "a value or \"]\" is needed";
    case Expected::kAfterElement: return "a comma or \"]\" is needed";
    case Expected::kFirstName: return "a name in double quotes or \"}\" is needed";
    case Expected::kName: return "a name in double quotes is needed";
    case Expected::kColon: return "a colon is needed after the name";
    case Expected::kAfterMember: return "a comma or \"}\" is needed";
    case Expected::kEnd: return "nothing may follow";
  }
  return {};
}

/// The fault at `at`, or nothing where what stands there is right and more follows.
std::optional<Fault> fault_at(std::string_view text, std::size_t at, Expected& expected) {
  const char letter = text[at];
  const bool after = expected == Expected::kAfterElement || expected == Expected::kAfterMember;
  if (after && letter == ',') {
    expected = expected == Expected::kAfterMember ? Expected::kName : Expected::kElement;
    return std::nullopt;
  }
  if (expected == Expected::kColon && letter == ':') {
    expected = Expected::kValue;
    return std::nullopt;
  }
  const bool names = expected == Expected::kFirstName || expected == Expected::kName;
  if ((expected == Expected::kName && letter == '}') ||
      (expected == Expected::kElement && letter == ']')) {
    return Fault{at, "a comma with nothing after it", "no comma after the last one"};
  }
  if (names && letter == '"') return bad_value(text, at);
  if (expected == Expected::kValue || expected == Expected::kFirstElement ||
      expected == Expected::kElement) {
    return bad_value(text, at);
  }
  if (expected == Expected::kEnd) {
    return Fault{at, "text after the end: " + found_at(text, at), needed(expected)};
  }
  if (after && at > 0 && is_digit(text[at - 1]) &&
      kInNumbers.find(letter) != std::string_view::npos) {
    return bad_number(text, text.substr(0, at).find_last_not_of(kInNumbers) + 1);
  }
  return Fault{at, found_at(text, at), needed(expected)};
}

}  // namespace

std::size_t next_token(std::string_view text, std::size_t from) {
  while (from < text.size() && (kBlanks.find(text[from]) != std::string_view::npos ||
                                text[from] == ',' || text[from] == ':')) {
    ++from;
  }
  return from;
}

std::size_t number_length(std::string_view text, std::size_t from) {
  std::size_t at = from;
  const auto is = [&text, &at](std::string_view letters) {
    return at < text.size() && letters.find(text[at]) != std::string_view::npos;
  };
  const auto digits = [&text, &at] {
    const std::size_t before = at;
    while (at < text.size() && is_digit(text[at])) ++at;
    return at > before;
  };
  if (is("-")) ++at;
  if (is("0")) {
    ++at;
  } else if (!digits()) {
    return 0;
  }
  std::size_t end = at;
  if (is(".")) {
    ++at;
    if (!digits()) return end - from;
    end = at;
  }
  if (is("eE")) {
    ++at;
    if (is("+-")) ++at;
    if (digits()) end = at;
  }
  return end - from;
}

Fault explain(std::string_view text, std::size_t from, Expected expected) {
  std::size_t at = from;
  while (true) {
    at = text.find_first_not_of(kBlanks, at);
    if (at == std::string_view::npos) {
      const bool empty = text.find_first_not_of(kBlanks) == std::string_view::npos;
      return {text.size(), empty ? "the text is empty" : "the text ends too early",
              empty ? "an object is needed" : needed(expected)};
    }
    if (text[at] == '/' || text[at] == '#') {
      return {at, "comments are not allowed", "JSON has none; words may go into \"about\""};
    }
    if (auto fault = fault_at(text, at, expected)) return *fault;
    ++at;
  }
}

std::optional<Fault> unreadable(std::string_view text) {
  if (text.substr(0, 3) == "\xef\xbb\xbf") {
    return Fault{0, "the text begins with a byte order mark", "save it as UTF-8 without one"};
  }
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = character_length(text, at);
    if (length == 0) {
      return Fault{at, "not UTF-8: byte " + as_hex(text[at]), "save the text as UTF-8"};
    }
    if (length == 1 && static_cast<unsigned char>(text[at]) < 0x20 &&
        kBlanks.find(text[at]) == std::string_view::npos) {
      return Fault{at, "a control character: byte " + as_hex(text[at]), "remove it"};
    }
    at += length;
  }
  return std::nullopt;
}

}  // namespace panewalk::config
