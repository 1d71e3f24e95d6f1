#pragma once

#include <cstdint>
#include <fstream>
#include <iterator>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

/// Octets that people can read. A line holds octets as two hexadecimal digits each; `#` begins a
/// comment. `repeat N` says the octets after it on the line N times; `rising N` is N octets 00 01 …
/// ff 00 01 … .
namespace panewalk::support {

using Bytes = std::vector<std::uint8_t>;

namespace detail {

inline std::uint8_t octet(const std::string& word) {
  const std::string digits = "0123456789abcdef";
  const std::size_t high = word.size() == 2 ? digits.find(word[0]) : std::string::npos;
  const std::size_t low = word.size() == 2 ? digits.find(word[1]) : std::string::npos;
  if (high == std::string::npos || low == std::string::npos) {
    throw std::runtime_error{"\"" + word + "\" is no octet (two digits 0-9, a-f)"};
  }
  return static_cast<std::uint8_t>(high << 4U | low);
}

inline std::size_t count(std::istringstream& words) {
  std::size_t number = 0;
  if (!(words >> number) || number == 0) throw std::runtime_error{"a count from 1 is missing"};
  return number;
}

inline Bytes line(const std::string& text) {
  std::istringstream words{text.substr(0, text.find('#'))};
  Bytes octets;
  std::size_t times = 1;
  for (std::string word; words >> word;) {
    if (word == "repeat" && octets.empty() && times == 1) {
      times = count(words);
    } else if (word == "rising") {
      const std::size_t rising = count(words);
      for (std::size_t i = 0; i < rising; ++i) octets.push_back(static_cast<std::uint8_t>(i));
    } else {
      octets.push_back(octet(word));
    }
  }
  if (times > 1 && octets.empty()) throw std::runtime_error{"nothing to repeat"};
  Bytes all;
  for (std::size_t i = 0; i < times; ++i) all.insert(all.end(), octets.begin(), octets.end());
  return all;
}

}  // namespace detail

/// Throws std::runtime_error with the line.
inline Bytes hex(const std::string& text) {
  Bytes all;
  std::istringstream lines{text};
  int number = 0;
  for (std::string line; std::getline(lines, line);) {
    ++number;
    try {
      const Bytes octets = detail::line(line);
      all.insert(all.end(), octets.begin(), octets.end());
    } catch (const std::runtime_error& error) {
      throw std::runtime_error{"line " + std::to_string(number) + ": " + error.what()};
    }
  }
  return all;
}

/// A file of tests/golden, such as "e131/sync.hex".
inline Bytes golden(const std::string& name) {
  std::ifstream file{std::string{PANEWALK_SOURCE_DIR} + "/tests/golden/" + name};
  if (!file) throw std::runtime_error{"no golden file " + name};
  return hex({std::istreambuf_iterator<char>{file}, {}});
}

/// For messages: octets of two digits, blanks between.
inline std::string to_hex(const Bytes& octets) {
  std::string text;
  for (const std::uint8_t octet : octets) {
    if (!text.empty()) text += ' ';
    text += "0123456789abcdef"[octet >> 4U];
    text += "0123456789abcdef"[octet & 0x0fU];
  }
  return text;
}

}  // namespace panewalk::support
