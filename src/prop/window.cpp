#include <algorithm>

#include "prop/frame_builder.hpp"

namespace panewalk::prop {
namespace {

using base::Problems;

/// The words for one direction of a window.
struct Direction {
  const char* places;  ///< "columns"
  const char* bars;    ///< "uprights"
  const char* bar;     ///< "an upright"
  const char* beside;  ///< of panes
};
constexpr Direction kAcross{"columns", "uprights", "an upright", "side by side"};
constexpr Direction kDown{"rows", "levels", "a level", "one above the other"};

/// Where each place lies from the first, or nothing with a problem added.
std::vector<Millimetres> positions(const Spacing& spacing, const std::string& pointer,
                                   Problems& problems) {
  const auto stations = static_cast<std::size_t>(spacing.stations);
  std::vector<Millimetres> at(stations);
  if (const auto* gaps = std::get_if<Spacing::Gaps>(&spacing.way)) {
    if (gaps->between.size() + 1 != stations) {
      problems.push_back({.where = pointer + "/gaps",
                          .what = std::to_string(gaps->between.size()) + " gaps between " +
                                  std::to_string(stations) + " stations",
                          .remedy = std::to_string(stations - 1) + " are needed"});
      return {};
    }
    for (std::size_t i = 1; i < stations; ++i) at[i] = at[i - 1] + gaps->between[i - 1];
    return at;
  }
  for (std::size_t i = 0; i < stations; ++i) {
    if (const auto* pitch = std::get_if<Spacing::Pitch>(&spacing.way)) {
      at[i] = pitch->each * static_cast<double>(i);
    } else {
      const Millimetres size = std::get<Spacing::Size>(spacing.way).edge_to_edge;
      at[i] = size * (static_cast<double>(i) / static_cast<double>(stations - 1));
    }
  }
  return at;
}

/// The places, from 1, that hold a bar: the edges and what the file names.
std::vector<int> bars_at(const Direction& direction, int places, const std::vector<int>& named,
                         const std::string& pointer, Problems& problems) {
  std::vector<int> at{1, places};
  const std::string list = base::member(pointer, direction.bars);
  for (std::size_t i = 0; i < named.size(); ++i) {
    const std::string where = base::element(list, i);
    const std::string found = std::to_string(named[i]);
    if (named[i] == 1 || named[i] == places) {
      problems.push_back({.where = where,
                          .what = "place " + found + " is an edge, which always is a bar",
                          .remedy = "name only the bars between the edges"});
    } else if (named[i] < 1 || named[i] > places) {
      const std::string most = std::to_string(places - 1);
      problems.push_back({.where = where,
                          .what = "there is no place " + found + " between the edges of " +
                                  std::to_string(places) + " " + direction.places,
                          .remedy = places > 3    ? "2 to " + most
                                    : places == 3 ? "only 2"
                                                  : "none with 2"});
    } else if (std::find(at.begin() + 2, at.end(), named[i]) != at.end()) {
      problems.push_back({.where = where,
                          .what = "place " + found + " is named twice",
                          .remedy = "once is enough"});
    } else {
      at.push_back(named[i]);
    }
  }
  std::sort(at.begin(), at.end());
  return at;
}

std::vector<int> bars_of_panes(const Direction& direction, int places, int panes,
                               const std::string& where, Problems& problems) {
  std::vector<int> at{1};
  if ((places - 1) % panes != 0) {
    const bool halves = panes == 2;
    problems.push_back(
        {.where = where,
         .what =
             std::to_string(panes) + " even panes " + direction.beside + " need " +
             (halves ? std::string{direction.bar} + " in the middle, and "
                     : std::to_string(panes - 1) + " " + direction.bars + " at stations, and ") +
             std::to_string(places) + " " + direction.places +
             (halves ? " have no middle one" : " don't divide so"),
         .remedy = counts_that_fit(places, panes, 1) + " " + direction.places + " work"});
    return at;
  }
  for (int i = 1; i <= panes; ++i) at.push_back(i * ((places - 1) / panes) + 1);
  return at;
}

void lay_grid(WindowGrid grid, const std::vector<Millimetres>& x, const std::vector<Millimetres>& y,
              FrameBuilder& builder) {
  const auto at = [](int place) { return static_cast<std::size_t>(place - 1); };
  for (std::size_t level = 0; level < grid.levels.size(); ++level) {
    for (std::size_t upright = 0; upright < grid.uprights.size(); ++upright) {
      grid.joints.push_back(
          builder.add_joint(letters(upright) + std::to_string(level + 1),
                            {x[at(grid.uprights[upright])], y[at(grid.levels[level])]}));
    }
  }
  using Place = FrameBuilder::Place;
  for (std::size_t level = 0; level < grid.levels.size(); ++level) {
    const Millimetres row = y[at(grid.levels[level])];
    for (std::size_t left = 0; left + 1 < grid.uprights.size(); ++left) {
      const std::size_t from = at(grid.uprights[left]);
      const std::size_t to = at(grid.uprights[left + 1]);
      std::vector<Place> inside;
      for (std::size_t i = from + 1; i < to; ++i) {
        inside.push_back({.at = {x[i], row}, .reach = x[i] - x[from], .own_name = {}});
      }
      builder.add_bar(grid.joint(left, level), grid.joint(left + 1, level), inside,
                      x[to] - x[from]);
    }
  }
  for (std::size_t upright = 0; upright < grid.uprights.size(); ++upright) {
    const Millimetres column = x[at(grid.uprights[upright])];
    for (std::size_t top = 0; top + 1 < grid.levels.size(); ++top) {
      const std::size_t from = at(grid.levels[top]);
      const std::size_t to = at(grid.levels[top + 1]);
      std::vector<Place> inside;
      for (std::size_t i = from + 1; i < to; ++i) {
        inside.push_back({.at = {column, y[i]}, .reach = y[i] - y[from], .own_name = {}});
      }
      builder.add_bar(grid.joint(upright, top), grid.joint(upright, top + 1), inside,
                      y[to] - y[from]);
    }
  }
  builder.set_grid(std::move(grid));
}

}  // namespace

void lay_window(const WindowShape& shape, const std::string& pointer, FrameBuilder& builder,
                Problems& problems) {
  const std::size_t before = problems.size();
  const auto x = positions(shape.columns, pointer + "/columns", problems);
  const auto y = positions(shape.rows, pointer + "/rows", problems);
  WindowGrid grid{.columns = shape.columns.stations,
                  .rows = shape.rows.stations,
                  .uprights = {},
                  .levels = {},
                  .joints = {}};
  if (shape.panes) {
    if (!shape.uprights.empty() || !shape.levels.empty()) {
      problems.push_back({.where = pointer + "/panes",
                          .what = "both panes and uprights or levels",
                          .remedy = "one way of the two"});
    }
    grid.uprights =
        bars_of_panes(kAcross, grid.columns, (*shape.panes)[0], pointer + "/panes/0", problems);
    grid.levels =
        bars_of_panes(kDown, grid.rows, (*shape.panes)[1], pointer + "/panes/1", problems);
  } else {
    grid.uprights = bars_at(kAcross, grid.columns, shape.uprights, pointer, problems);
    grid.levels = bars_at(kDown, grid.rows, shape.levels, pointer, problems);
  }
  const std::size_t stations = grid.uprights.size() * static_cast<std::size_t>(grid.rows) +
                               grid.levels.size() * static_cast<std::size_t>(grid.columns) -
                               grid.uprights.size() * grid.levels.size();
  if (stations > kMostStations) {
    problems.push_back({.where = pointer,
                        .what = std::to_string(stations) + " stations",
                        .remedy = "at most " + std::to_string(kMostStations) + " in one prop"});
  }
  if (problems.size() == before) lay_grid(std::move(grid), x, y, builder);
}

}  // namespace panewalk::prop
