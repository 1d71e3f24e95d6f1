#pragma once

#include <gtest/gtest.h>

#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/problem.hpp"
#include "prop/frame.hpp"

/// Short ways to describe the frames that tests build.
namespace panewalk::test {

inline base::Millimetres mm(double amount) { return base::Millimetres::of(amount); }
inline base::Degrees deg(double amount) { return base::Degrees::of(amount); }
inline base::Point at(double x, double y) { return {mm(x), mm(y)}; }

inline prop::Spacing pitch(int stations, double each) {
  return {.stations = stations, .way = prop::Spacing::Pitch{mm(each)}};
}
inline prop::Spacing size(int stations, double edge_to_edge) {
  return {.stations = stations, .way = prop::Spacing::Size{mm(edge_to_edge)}};
}
inline prop::Spacing gaps(int stations, const std::vector<double>& between) {
  prop::Spacing::Gaps all;
  for (const double gap : between) all.between.push_back(mm(gap));
  return {.stations = stations, .way = all};
}

inline prop::SectionDescription section(prop::Shape shape, std::vector<std::string> empty = {}) {
  return {.name = "", .at = at(0, 0), .shape = std::move(shape), .empty = std::move(empty)};
}
inline prop::SectionDescription named(std::string name, base::Point origin, prop::Shape shape) {
  return {.name = std::move(name), .at = origin, .shape = std::move(shape), .empty = {}};
}

inline prop::WindowShape window(prop::Spacing columns, prop::Spacing rows,
                                std::vector<int> uprights = {}, std::vector<int> levels = {}) {
  return {.columns = std::move(columns),
          .rows = std::move(rows),
          .uprights = std::move(uprights),
          .levels = std::move(levels),
          .panes = std::nullopt};
}
inline prop::WindowShape panes(prop::Spacing columns, prop::Spacing rows, int across, int down) {
  return {.columns = std::move(columns),
          .rows = std::move(rows),
          .uprights = {},
          .levels = {},
          .panes = {{across, down}}};
}

/// The boathouse's west window: four panes of unequal height, 900 × 1020 mm.
inline prop::WindowShape slip_window() {
  return window(pitch(11, 90), gaps(13, {60, 90, 90, 90, 90, 90, 90, 90, 90, 90, 90, 60}), {6},
                {7});
}

/// One problem a line.
inline std::string lines(const base::Problems& problems) {
  std::string text;
  for (const base::Problem& problem : problems) text += to_line(problem) + '\n';
  return text;
}

/// What is wrong with the sections, one a line; "" where nothing is.
inline std::string refusal(const std::vector<prop::SectionDescription>& sections) {
  const auto built = prop::build(sections);
  return built.ok() ? std::string{} : lines(built.error());
}

/// A frame that must be without fault; the test fails and gets an empty one otherwise.
inline prop::Frame frame_of(const std::vector<prop::SectionDescription>& sections) {
  auto built = prop::build(sections);
  if (!built.ok()) {
    ADD_FAILURE() << lines(built.error());
    return {};
  }
  return std::move(built).value();
}
inline prop::Frame frame_of(prop::Shape shape) { return frame_of({section(std::move(shape))}); }

}  // namespace panewalk::test
