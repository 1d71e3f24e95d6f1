#pragma once

#include <rapidcheck.h>

#include <string>
#include <vector>

#include "base/quantity.hpp"

/// Values for properties over files, drawn by rapidcheck.
namespace panewalk::test {

inline int within(int least, int most) { return *rc::gen::inRange(least, most + 1); }
inline bool coin() { return within(0, 1) == 1; }

/// Any double from `least` to `most`, most of them without a short decimal.
inline double real(double least, double most) {
  return least + (most - least) * (within(0, 1'000'000'000) / 1e9);
}

inline base::Millimetres some_length(double least, double most) {
  return base::Millimetres::of(real(least, most));
}
inline base::Point some_point() {
  const base::Millimetres x = some_length(-99'999, 99'999);
  return {x, some_length(-99'999, 99'999)};
}

inline std::string some_word() {
  const std::string letters = "abcXYZ019_";
  std::string word;
  const int size = within(1, 40);
  for (int i = 0; i < size; ++i) word += letters[static_cast<std::size_t>(within(0, 9))];
  return word;
}

inline std::string some_text() {
  static const std::vector<std::string> kPieces{"a", " ",  "\"",   "\\", "/",
                                                "µ", "窓", "🪟", "A1", "'"};
  std::string text = "t";
  const int size = within(0, 30);
  for (int i = 0; i < size; ++i) text += kPieces[static_cast<std::size_t>(within(0, 9))];
  return text;
}

template <class Make>
auto some(int least, int most, Make make) {
  std::vector<decltype(make())> all;
  const int count = within(least, most);
  for (int i = 0; i < count; ++i) all.push_back(make());
  return all;
}

}  // namespace panewalk::test
