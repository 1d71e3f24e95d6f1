#pragma once

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string>

#include "pattern/program.hpp"
#include "props.hpp"

/// A pattern as text: a line a beat with its start, its caption and one letter a pixel.
namespace panewalk::pattern::test {

using std::chrono::milliseconds;

/// '.' dark; R G B W Y C M O at full, V a white chip at full; white below full by its tenths; other
/// colours below full small.
inline char letter(light::Colour colour) {
  if (colour.dark()) return '.';
  if (colour.white > 0) return colour.white == 255 ? 'V' : 'v';
  const int most = std::max({colour.red, colour.green, colour.blue});
  if (colour.red == colour.green && colour.green == colour.blue) {
    if (most == 255) return 'W';
    return static_cast<char>('0' + std::min(9L, std::lround(most / 255.0 * 10)));
  }
  const int lit = (colour.red > 0 ? 4 : 0) + (colour.green > 0 ? 2 : 0) + (colour.blue > 0 ? 1 : 0);
  const bool mixed = colour.red != colour.green && lit == 6;
  const char large = mixed ? 'O' : "?BGCRMY?"[lit];
  return most == 255 ? large : static_cast<char>(large - 'A' + 'a');
}

inline std::string picture(const Program& program, const Beat& beat, std::size_t pixels) {
  // Painted over a colour that must be gone afterwards.
  std::vector<light::Colour> colours(pixels, {.red = 9, .green = 9, .blue = 9});
  program.paint(beat, colours);
  std::string text;
  for (const light::Colour colour : colours) text += letter(colour);
  return text;
}

inline std::string strip_line(base::Duration start, const Beat& beat, const std::string& caption,
                              const std::string& lit) {
  char front[80];
  std::snprintf(
      front, sizeof front, "%6lld ms %s %-32s|",
      static_cast<long long>(std::chrono::duration_cast<milliseconds>(start + beat.into).count()),
      beat.waits ? "waits" : "     ", caption.c_str());
  return front + lit + "|\n";
}

inline std::string strip(const Program& program, std::size_t pixels) {
  std::string text;
  for (const std::string& note : program.notes()) text += "note: " + note + '\n';
  for (std::size_t i = 0; i < program.beats(); ++i) {
    Beat beat = program.beat(i);
    std::string before;
    // A beat that moves by itself is shown every 750 ms.
    for (; beat.into < std::chrono::seconds{3}; beat.into += milliseconds{750}) {
      std::string lit = picture(program, beat, pixels);
      if (lit == before) break;
      text += strip_line(program.start(i), beat, program.caption(beat), lit);
      before = std::move(lit);
    }
  }
  return text;
}

}  // namespace panewalk::pattern::test
