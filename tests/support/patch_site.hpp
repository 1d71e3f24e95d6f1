#pragma once

#include <array>
#include <cstdint>
#include <deque>
#include <string>
#include <string_view>
#include <vector>

#include "patch/patch.hpp"
#include "prop/frame.hpp"
#include "wiring/pixel_map.hpp"

namespace panewalk::test {

/// A straight line of pixels, wired from its first to its last.
inline wiring::PixelMap line_map(int pixels, std::vector<wiring::Spares> spares = {}) {
  prop::LineShape line;
  line.to = {base::Millimetres::of(1000), base::Millimetres::of(0)};
  line.stations = pixels;
  const prop::Frame frame = prop::build({{"", {}, line, {}}}).value();
  return wiring::read_route(frame, {{"A B"}, false, std::move(spares)}).value();
}

/// Controllers and lines of pixels for tests of the patch. References stay valid.
class PatchSite {
 public:
  patch::ControllerDescription& controller(std::string name,
                                           std::array<std::uint8_t, 4> host = {127, 0, 0, 1},
                                           patch::Protocol protocol = patch::Protocol::kE131) {
    patch::ControllerDescription made;
    made.name = std::move(name);
    made.protocol = protocol;
    made.address = {false, host,
                    protocol == patch::Protocol::kE131 ? patch::kE131Port : patch::kArtNetPort};
    controllers_.push_back(std::move(made));
    return controllers_.back();
  }

  patch::PatchedProp& prop(std::string name, std::string controller, int pixels,
                           std::int64_t universe, std::string_view order = "RGB",
                           std::vector<wiring::Spares> spares = {}) {
    maps_.push_back(line_map(pixels, std::move(spares)));
    patch::PatchedProp made;
    made.name = std::move(name);
    made.map = &maps_.back();
    made.format.order = *light::ColourOrder::from(order);
    made.placement.controller = std::move(controller);
    made.placement.universe = universe;
    props_.push_back(std::move(made));
    return props_.back();
  }

  patch::Network network;

  [[nodiscard]] base::Result<patch::Patch> assign() const {
    return patch::assign({controllers_.begin(), controllers_.end()}, {props_.begin(), props_.end()},
                         network);
  }

 private:
  std::deque<patch::ControllerDescription> controllers_;
  std::deque<wiring::PixelMap> maps_;
  std::deque<patch::PatchedProp> props_;
};

}  // namespace panewalk::test
