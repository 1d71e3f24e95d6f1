#pragma once

#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "practice/fault.hpp"

namespace panewalk::test {

/// A straight line of RGB pixels from universe 1, channel 1 on, fed at the lead-in only, and what a
/// sender puts into its universes. Stays where it is: the subject points into it.
struct LineSubject {
  explicit LineSubject(int pixels, const std::string& order = "RGB") {
    const prop::LineShape shape{
        .from = {}, .to = {base::Millimetres::of(50.0 * (pixels - 1)), {}}, .stations = pixels};
    frame = std::make_unique<prop::Frame>(
        prop::build({{.name = "", .at = {}, .shape = shape, .empty = {}}}).value());
    map =
        std::make_unique<wiring::PixelMap>(wiring::read_route(*frame, {.route = {"A B"}}).value());
    patch::ControllerDescription controller;
    controller.name = "box";
    controller.frames_per_second = 20;
    patch::PixelFormat format;
    format.order = *light::ColourOrder::from(order);
    const patch::Placement placement{.controller = "box"};
    patch = patch::assign(
                {controller},
                {{.name = "line", .map = map.get(), .format = format, .placement = placement}})
                .value();
    subject = {.frame = frame.get(),
               .map = map.get(),
               .patch = patch.props.data(),
               .format = format,
               .placement = placement,
               .prop_names = {"line", "other"}};
  }
  LineSubject(const LineSubject&) = delete;
  LineSubject& operator=(const LineSubject&) = delete;

  /// Three bytes a pixel, 170 pixels a universe, red first: typed here and not by the patch. No
  /// pixels are all of them.
  [[nodiscard]] std::vector<practice::UniverseLevels> packed(
      light::Colour colour, const std::vector<int>& pixels = {}) const {
    std::vector<int> lit = pixels;
    for (int i = 1; pixels.empty() && i <= static_cast<int>(map->size()); ++i) lit.push_back(i);
    std::vector<practice::UniverseLevels> universes((map->size() + 169) / 170);
    for (std::size_t u = 0; u < universes.size(); ++u) {
      universes[u].universe = static_cast<std::uint16_t>(u + 1);
    }
    for (const int pixel : lit) {
      const auto before = static_cast<std::size_t>(pixel - 1);
      auto& levels = universes[before / 170].levels;
      levels[before % 170 * 3] = colour.red;
      levels[before % 170 * 3 + 1] = colour.green;
      levels[before % 170 * 3 + 2] = colour.blue;
    }
    return universes;
  }

  std::unique_ptr<prop::Frame> frame;
  std::unique_ptr<wiring::PixelMap> map;
  patch::Patch patch;
  practice::Subject subject;
};

}  // namespace panewalk::test
