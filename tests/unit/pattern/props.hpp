#pragma once

#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "pattern/region.hpp"

/// Props of the tests, each drawn where it is made, and how to ask them.
namespace panewalk::pattern::test {

using base::Degrees;
using base::Millimetres;
using base::Point;

inline Millimetres mm(double length) { return Millimetres::of(length); }
inline Point at(double x, double y) { return {mm(x), mm(y)}; }
inline prop::Spacing pitch(int stations, double each) {
  return {.stations = stations, .way = prop::Spacing::Pitch{mm(each)}};
}

inline std::string lines(const base::Problems& problems) {
  std::string text;
  for (const base::Problem& problem : problems) text += base::to_line(problem) + '\n';
  return text;
}

/// How a prop hangs on its controller.
struct Hung {
  std::string order = "RGB";
  int channels_per_universe = 510;
  std::int64_t channel = 1;
};

/// A prop with all that a surface looks at.
class Prop {
 public:
  Prop(const std::vector<prop::SectionDescription>& sections,
       const wiring::WiringDescription& wiring, const Hung& hung = {})
      : held_{std::make_unique<Held>()} {
    auto frame = prop::build(sections);
    if (!frame) throw std::runtime_error(lines(frame.error()));
    held_->frame = std::move(frame).value();
    auto map = wiring::read_route(held_->frame, wiring);
    if (!map) throw std::runtime_error(lines(map.error()));
    held_->map = std::move(map).value();
    auto patch = patch::assign(
        {{.name = "bench", .channels_per_universe = hung.channels_per_universe}},
        {{.name = "prop",
          .map = &held_->map,
          .format = {.order = light::ColourOrder::from(hung.order).value()},
          .placement = {.controller = "bench", .universe = 1, .channel = hung.channel}}});
    if (!patch) throw std::runtime_error(lines(patch.error()));
    held_->patch = patch.value().props.front();
  }

  [[nodiscard]] Surface surface() const { return {&held_->frame, &held_->map, &held_->patch}; }
  [[nodiscard]] std::size_t size() const { return held_->map.size(); }

  /// "1-13 17": the region's pixels, or what is wrong with its name.
  [[nodiscard]] std::string pixels(std::string_view words) const {
    const auto found = region(surface(), words);
    return found ? ranges(found.value().pixels) : lines(found.error());
  }
  /// The names of the region's stations, in data order.
  [[nodiscard]] std::string stations(std::string_view words) const {
    const auto found = region(surface(), words);
    if (!found) return lines(found.error());
    std::string names;
    for (const PixelIndex pixel : found.value().pixels) {
      names += (names.empty() ? "" : " ") + held_->frame[held_->map.station_of(pixel)].name;
    }
    return names;
  }
  /// A line a member: "pane A1: 1-7".
  [[nodiscard]] std::string members(std::string_view words) const {
    std::string text;
    for (const Region& member : family(surface(), words)) {
      text += member.name + ": " + ranges(member.pixels) + '\n';
    }
    return text;
  }
  [[nodiscard]] std::string missing(std::string_view words) const {
    std::string text;
    for (const std::string& lack : pattern::missing(surface(), words)) text += lack + '\n';
    return text;
  }

  static std::string ranges(const std::vector<PixelIndex>& pixels) {
    std::string text;
    for (std::size_t i = 0; i < pixels.size();) {
      std::size_t last = i;
      while (last + 1 < pixels.size() && pixels[last + 1] == pixels[last].next()) ++last;
      text += (text.empty() ? "" : " ") + std::to_string(pixels[i].value());
      if (last > i) text += '-' + std::to_string(pixels[last].value());
      i = last + 1;
    }
    return text;
  }

 private:
  struct Held {
    prop::Frame frame;
    wiring::PixelMap map;
    patch::PropPatch patch;
  };
  std::unique_ptr<Held> held_;
};

/// The window of the prop file in the docs, seen from the front. In brackets the index of a joint.
///
///   A1 [13] 14-17  B1 [18] 19-22  C1 [23]
///    12                55            24
///    ...               ...           ...
///     8                51            28
///   A2  [7] 56-59  B2 [50] 60-63  C2 [29]
///     6                49            30
///    ...               ...           ...
///     2                45            34
///   A3  [1] 44-41  B3 [40] 39-36  C3 [35]
inline Prop slip_window(const Hung& hung = {}, std::vector<std::string> empty = {}) {
  std::vector<Millimetres> gaps(12, mm(90));
  gaps.front() = gaps.back() = mm(60);
  return {{{.name = "W",
            .at = {},
            .shape = prop::WindowShape{.columns = pitch(11, 90),
                                       .rows = {.stations = 13, .way = prop::Spacing::Gaps{gaps}},
                                       .uprights = {6},
                                       .levels = {7},
                                       .panes = {}},
            .empty = std::move(empty)}},
          {.route = {"A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"}},
          hung};
}

/// 4 columns, 3 rows, nothing inside.
///
///   1  2  3  4
///  10        5
///   9  8  7  6
inline Prop hatch() {
  return {{{.name = "",
            .at = {},
            .shape = prop::WindowShape{.columns = pitch(4, 100),
                                       .rows = pitch(3, 100),
                                       .uprights = {},
                                       .levels = {},
                                       .panes = {}},
            .empty = {}}},
          {.route = {"A1 B1 B2 A2 (A1)"}}};
}

/// Two windows of six panes each, L and R; each level from left to right, then what is left of the
/// uprights. R is the same with 29 more.
///
///    1   2   3   4   5
///   21      24      27
///    6   7   8   9  10
///   22      25      28
///   11  12  13  14  15
///   23      26      29
///   16  17  18  19  20
inline Prop pair(const Hung& hung = {}) {
  const prop::WindowShape six{.columns = pitch(5, 100),
                              .rows = pitch(7, 100),
                              .uprights = {},
                              .levels = {},
                              .panes = {{2, 3}}};
  return {{{.name = "L", .at = {}, .shape = six, .empty = {}},
           {.name = "R", .at = at(600, 0), .shape = six, .empty = {}}},
          {.route = {"L.A1 L.C1", "L.A2 L.C2", "L.A3 L.C3", "L.A4 L.C4", "(L.A1) (L.A4)",
                     "(L.B1) (L.B4)", "(L.C1) (L.C4)", "R.A1 R.C1", "R.A2 R.C2", "R.A3 R.C3",
                     "R.A4 R.C4", "(R.A1) (R.A4)", "(R.B1) (R.B4)", "(R.C1) (R.C4)"}},
          hung};
}

/// Twelve stations like a clock's hours, pixel 1 at three o'clock, then clockwise.
inline Prop ring() {
  return {{{.name = "",
            .at = {},
            .shape = prop::ArcShape{.centre = at(100, 100),
                                    .radius = mm(100),
                                    .from = Degrees::of(0),
                                    .to = Degrees::of(360),
                                    .stations = 12,
                                    .joints = {}},
            .empty = {}}},
          {.route = {"A (A)"}}};
}

/// A roof line, 300 mm high and 800 mm wide: pixels 1 (left eave) … 7 (ridge) … 13 (right eave).
inline Prop gable(std::vector<std::string> empty = {}) {
  return {{{.name = "",
            .at = {},
            .shape = prop::PathShape{.corners = {at(0, 300), at(400, 0), at(800, 300)},
                                     .stations = {7, 7}},
            .empty = std::move(empty)}},
          {.route = {"A B C"}}};
}

/// Four arms of five stations round a hub.
///
///               1
///              ...
///               4
///   10 … 13     5    14 … 17
///               6
///              ...
///               9
inline Prop star() {
  return {{{.name = "",
            .at = {},
            .shape =
                prop::BarsShape{
                    .joints = {{"Hub", at(200, 200)},
                               {"N", at(200, 0)},
                               {"E", at(400, 200)},
                               {"S", at(200, 400)},
                               {"W", at(0, 200)}},
                    .bars = {{"Hub", "N", 5}, {"Hub", "E", 5}, {"Hub", "S", 5}, {"Hub", "W", 5}}},
            .empty = {}}},
          {.route = {"N Hub S", "W (Hub) E"}}};
}

/// A square P Q R S with a diagonal over H, a spike T outwards, a spike U inwards, and a loose
/// triangle X Y Z inside.
inline Prop lantern() {
  return {{{.name = "",
            .at = {},
            .shape = prop::BarsShape{.joints = {{"P", at(0, 0)},
                                                {"Q", at(400, 0)},
                                                {"R", at(400, 400)},
                                                {"S", at(0, 400)},
                                                {"H", at(200, 200)},
                                                {"T", at(500, 0)},
                                                {"U", at(100, 300)},
                                                {"X", at(300, 50)},
                                                {"Y", at(350, 50)},
                                                {"Z", at(350, 100)}},
                                     .bars = {{"P", "Q", 5},
                                              {"Q", "R", 5},
                                              {"R", "S", 5},
                                              {"S", "P", 5},
                                              {"P", "H", 3},
                                              {"H", "R", 3},
                                              {"Q", "T", 2},
                                              {"S", "U", 3},
                                              {"X", "Y", 2},
                                              {"Y", "Z", 2},
                                              {"Z", "X", 2}}},
            .empty = {}}},
          {.route = {"P Q R S (P)", "(Q) T", "(P) H (R)", "(S) U", "X Y Z (X)"}}};
}

}  // namespace panewalk::pattern::test
