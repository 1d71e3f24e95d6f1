#include "cli/drawing.hpp"

#include <algorithm>
#include <cmath>

namespace panewalk::cli {
namespace {

/// Where a prop's millimetres fall on a terminal, whose places are about twice as high as wide.
struct Scale {
  double left = 0, top = 0;
  double mm_per_column = 1, mm_per_row = 2;
  double pitch = 1;
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
  Scale scale{.left = by_x.first->at.x.value(), .top = by_y.first->at.y.value(), .pitch = pitch};
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

/// Marks and words on a grid of one character a place.
class Board {
 public:
  Board(std::size_t columns, std::size_t rows) : columns_{columns}, marks_(columns * rows) {}

  void mark(std::size_t row, std::size_t column, const char* mark) { at(row, column).mark = mark; }
  /// Over whatever is there.
  void write_over(std::size_t row, std::size_t column, char letter) {
    at(row, column).word = letter;
  }

  /// From this place on, or ending at the right edge where there is no room. False where another
  /// word is in the way or right beside.
  bool write(std::size_t row, std::size_t column, const std::string& word) {
    if (word.size() > columns_) return false;
    const std::size_t first = std::min(column, columns_ - word.size());
    const std::size_t before = first == 0 ? 0 : first - 1;
    for (std::size_t i = before; i < std::min(first + word.size() + 1, columns_); ++i) {
      if (at(row, i).word != ' ') return false;
    }
    for (std::size_t i = 0; i < word.size(); ++i) at(row, first + i).word = word[i];
    return true;
  }

  [[nodiscard]] std::vector<std::string> lines() const {
    std::vector<std::string> lines;
    for (std::size_t from = 0; from < marks_.size(); from += columns_) {
      std::string line;
      std::string gap;
      for (std::size_t i = from; i < from + columns_; ++i) {
        const std::string here =
            marks_[i].word != ' ' ? std::string(1, marks_[i].word) : marks_[i].mark;
        if (here == " ") {
          gap += here;
          continue;
        }
        line += gap + here;
        gap.clear();
      }
      lines.push_back(std::move(line));
    }
    return lines;
  }

 private:
  struct Cell {
    std::string mark = " ";
    char word = ' ';
  };
  Cell& at(std::size_t row, std::size_t column) { return marks_[row * columns_ + column]; }

  std::size_t columns_;
  std::vector<Cell> marks_;
};

/// Every so many stations of a bar have their number written.
std::size_t between_numbers(const Scale& scale) {
  constexpr double kColumns = 8;
  for (const std::size_t step : {5U, 10U, 20U, 50U, 100U}) {
    if (static_cast<double>(step) * scale.pitch / scale.mm_per_column >= kColumns) return step;
  }
  return 500;
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

std::vector<std::string> draw_names(const prop::Frame& frame,
                                    std::optional<base::StationIndex> marked,
                                    const DrawingStyle& style) {
  constexpr int kRoomForNames = 8;
  const Scale scale = fit(frame, style);
  const int most = std::max(style.columns - 2, static_cast<int>(scale.columns));
  Board board{
      static_cast<std::size_t>(std::min(static_cast<int>(scale.columns) + kRoomForNames, most)),
      scale.rows};
  const auto write = [&](const prop::Station& station, const std::string& word) {
    return board.write(scale.row(station.at), scale.column(station.at), word);
  };
  for (const prop::Station& station : frame.stations()) {
    board.mark(scale.row(station.at), scale.column(station.at), station.carries_pixel ? "·" : "x");
  }
  bool has_mark = !marked;
  for (const prop::Joint& joint : frame.joints()) {
    const bool here = marked && joint.station == *marked;
    const bool written = write(frame[joint.station], joint.name + (here ? "*" : ""));
    has_mark = has_mark || (here && written);
  }
  if (frame.joints().empty()) {
    for (const prop::Station* end : {&frame.stations().front(), &frame.stations().back()}) {
      write(*end, end->name);
    }
  }
  const std::size_t step = between_numbers(scale);
  for (const prop::Bar& bar : frame.bars()) {
    for (std::size_t i = step; i <= bar.inside.size(); i += step) {
      write(frame[bar.inside[i - 1]], std::to_string(i));
    }
  }
  if (!has_mark) {
    const base::Point at = frame[*marked].at;
    board.write_over(scale.row(at), scale.column(at), '*');
  }
  return board.lines();
}

}  // namespace panewalk::cli
