#include "cli/drawing.hpp"

#include <algorithm>
#include <cmath>

namespace panewalk::cli {
namespace {

/// Where a prop's millimetres fall on a terminal, whose places are about twice as high as wide.
struct Scale {
  double left = 0, top = 0;
  double mm_per_column = 1, mm_per_row = 2;
  std::size_t columns = 1, rows = 1;

  [[nodiscard]] std::size_t column(base::Point at) const {
    return static_cast<std::size_t>(std::lround((at.x.value() - left) / mm_per_column));
  }
  [[nodiscard]] std::size_t row(base::Point at) const {
    return static_cast<std::size_t>(std::lround((at.y.value() - top) / mm_per_row));
  }
};

Scale fit(const prop::Frame& frame, const DrawingStyle& style) {
  const auto& stations = frame.stations();
  const auto by_x = std::minmax_element(
      stations.begin(), stations.end(),
      [](const prop::Station& a, const prop::Station& b) { return a.at.x < b.at.x; });
  const auto by_y = std::minmax_element(
      stations.begin(), stations.end(),
      [](const prop::Station& a, const prop::Station& b) { return a.at.y < b.at.y; });
  const double width = (by_x.second->at.x - by_x.first->at.x).value();
  const double height = (by_y.second->at.y - by_y.first->at.y).value();
  std::vector<double> pitches{1.0};
  for (std::size_t i = 0; i < stations.size(); ++i) {
    for (const prop::Neighbour& next : frame.neighbours(base::StationIndex::of(i))) {
      pitches.push_back(next.along.value());
    }
  }
  // The usual pitch, not the smallest: one short gap must not blow up the whole drawing.
  const auto middle = pitches.begin() + static_cast<std::ptrdiff_t>(pitches.size() / 2);
  std::nth_element(pitches.begin(), middle, pitches.end());
  const double pitch = std::max(*middle, 1.0);
  const double most_columns = std::max(style.columns - 3, 10);
  const double most_rows = std::max(style.rows - 1, 4);
  Scale scale{.left = by_x.first->at.x.value(), .top = by_y.first->at.y.value()};
  // Two columns and one row a pitch look right; a larger prop is drawn as large as it fits.
  scale.mm_per_column = std::max({pitch / 2, width / most_columns, height / (2 * most_rows)});
  scale.mm_per_row = 2 * scale.mm_per_column;
  scale.columns = static_cast<std::size_t>(std::lround(width / scale.mm_per_column)) + 1;
  scale.rows = static_cast<std::size_t>(std::lround(height / scale.mm_per_row)) + 1;
  return scale;
}

int brightness(light::Colour colour) {
  return std::max({colour.red, colour.green, colour.blue, colour.white});
}

/// What a pixel with a white chip looks like on a screen that has none.
light::Colour on_screen(light::Colour colour) {
  const auto add = [&colour](std::uint8_t part) {
    return static_cast<std::uint8_t>(std::min(255, part + colour.white));
  };
  return {add(colour.red), add(colour.green), add(colour.blue), 0};
}

std::string mark(light::Colour colour, bool with_colour) {
  if (!with_colour) return colour.dark() ? "·" : std::string(1, letter_of(colour));
  if (colour.dark()) return "\x1b[90m·\x1b[0m";
  // A test at 30 % must be seen on a screen too: the brightest part is lifted to full, the hue
  // kept.
  const light::Colour seen = on_screen(colour);
  const double lift = 0.45 + 0.55 * brightness(seen) / 255.0;
  const double scale = lift * 255.0 / std::max(1, brightness(seen));
  const auto part = [scale](std::uint8_t level) {
    return std::to_string(static_cast<int>(std::min(255.0, level * scale)));
  };
  return "\x1b[38;2;" + part(seen.red) + ';' + part(seen.green) + ';' + part(seen.blue) +
         "m●\x1b[0m";
}

}  // namespace

char letter_of(light::Colour colour) {
  const light::Colour seen = on_screen(colour);
  const int most = brightness(seen);
  if (most == 0) return '.';
  const auto on = [most](std::uint8_t level) { return level * 2 > most ? 1U : 0U; };
  constexpr char kLetters[] = {'W', 'B', 'G', 'C', 'R', 'M', 'Y', 'W'};
  const unsigned which = on(seen.red) << 2U | on(seen.green) << 1U | on(seen.blue);
  constexpr int kDim = 24;
  const char letter = kLetters[which];
  return most < kDim ? static_cast<char>(letter - 'A' + 'a') : letter;
}

std::vector<std::string> draw(const prop::Frame& frame, std::span<const light::Colour> lights,
                              const DrawingStyle& style) {
  const Scale scale = fit(frame, style);
  struct Place {
    bool station = false;
    bool empty = true;
    light::Colour colour;
  };
  std::vector<Place> places(scale.columns * scale.rows);
  for (std::size_t i = 0; i < frame.stations().size(); ++i) {
    const prop::Station& station = frame.stations()[i];
    Place& place = places[scale.row(station.at) * scale.columns + scale.column(station.at)];
    const light::Colour colour = lights[i];
    if (!place.station || brightness(colour) > brightness(place.colour)) place.colour = colour;
    place.station = true;
    place.empty = place.empty && !station.carries_pixel;
  }
  std::vector<std::string> lines;
  for (std::size_t row = 0; row < scale.rows; ++row) {
    std::string line;
    std::string gap;
    for (std::size_t column = 0; column < scale.columns; ++column) {
      const Place& place = places[row * scale.columns + column];
      if (!place.station) {
        gap += ' ';
        continue;
      }
      line += gap + (place.empty ? std::string{"x"} : mark(place.colour, style.colour));
      gap.clear();
    }
    lines.push_back(std::move(line));
  }
  return lines;
}

}  // namespace panewalk::cli
