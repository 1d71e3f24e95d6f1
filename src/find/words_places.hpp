#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "practice/fault.hpp"

/// Names and places for the finder's sentences.
namespace panewalk::find {

using base::StationIndex;

/// Pixels are given by index, from 1.
StationIndex station_at(const practice::Subject& subject, std::int32_t pixel);
std::int32_t pixel_count(const practice::Subject& subject);

/// "FRONT: left stile, …; BACK: right stile, …", or "FRONT and BACK: …" where both are the same.
std::string both_sides(const practice::Subject& subject, StationIndex station);
/// "pixel 17 at A1-B1/3".
std::string pixel_text(const practice::Subject& subject, std::int32_t pixel);
/// "pixel 17 at A1-B1/3 (FRONT: …; BACK: …)".
std::string pixel_and_place(const practice::Subject& subject, std::int32_t pixel);

/// "S2" as the workbench sheet and its labels have it, "" where no splice follows the pixel.
std::string splice_name(const practice::Subject& subject, std::int32_t pixel);
/// How many spare pixels hang behind the frame right after a pixel.
std::int32_t spares_after(const practice::Subject& subject, std::int32_t pixel);
/// "1 null pixel", "2 null pixels", "no null pixels".
std::string counted(std::int32_t count, const char* one, const char* many);

/// The pixels that have a channel in a universe: first and last, 0 and 0 where none has.
struct PixelRange {
  std::int32_t first = 0, last = 0;
};
PixelRange pixels_in_universe(const practice::Subject& subject, std::int32_t universe);

/// The name of the prop in double quotes.
std::string prop_name(const practice::Subject& subject, std::size_t prop);

std::string number(std::int64_t value);

/// "a" with its first letter in capitals.
std::string capital(std::string text);

}  // namespace panewalk::find
