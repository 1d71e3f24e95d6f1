#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "light/colour.hpp"
#include "prop/frame.hpp"

namespace panewalk::cli {

struct DrawingStyle {
  bool colour = false;  ///< 24-bit escape sequences; else letters
  int columns = 80;     ///< of the terminal
  int rows = 24;        ///< at most this many lines
};

/// The prop as seen from the front, one mark a station: `·` dark, `●` lit; without colour R G B W Y
/// C M for the hue, small letters where it is dim. `lights` is by StationIndex. Each line without
/// its end. Stations that fall into one place of the terminal share it; the brightest is shown.
std::vector<std::string> draw(const prop::Frame& frame, std::span<const light::Colour> lights,
                              const DrawingStyle& style);

/// The same view and scale with the joints' names and, in bars, the numbers of some of their
/// stations, such as `A1· · · · 5`; by the ends of a prop without joints their names. A `*` follows
/// the joint or stands at the station that is `marked`. Names that would hide each other are left
/// out.
std::vector<std::string> draw_names(const prop::Frame& frame,
                                    std::optional<base::StationIndex> marked,
                                    const DrawingStyle& style);

/// The letter for a colour: 'R', 'g' …, '.' for black.
char letter_of(light::Colour colour);

}  // namespace panewalk::cli
