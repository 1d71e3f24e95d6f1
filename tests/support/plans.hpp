#pragma once

#include <memory>
#include <string>
#include <vector>

#include "engine/plan.hpp"

/// Small sites for tests, put together from the same parts as a loaded one.
namespace panewalk::test {

struct LineOf {
  std::string name;
  int pixels = 0;
  std::size_t controller = 0;  ///< index
  std::int64_t universe = 1;
  std::int64_t channel = 1;
  int nulls = 0;
  light::Level cap = {};
  std::string order = "RGB";
  std::vector<wiring::Spares> spares = {};
  double bits_per_second = patch::PixelFormat{}.bits_per_second;
};

inline patch::ControllerDescription e131_controller(const std::string& name) {
  patch::ControllerDescription controller;
  controller.name = name;
  controller.protocol = patch::Protocol::kE131;
  controller.address = {.multicast = false, .host = {127, 0, 0, 1}, .port = patch::kE131Port};
  return controller;
}

inline patch::ControllerDescription artnet_controller(const std::string& name) {
  patch::ControllerDescription controller;
  controller.name = name;
  controller.protocol = patch::Protocol::kArtNet;
  controller.address = {.multicast = false, .host = {127, 0, 0, 1}, .port = patch::kArtNetPort};
  return controller;
}

/// Straight lines of pixels, 50 mm apart.
inline std::shared_ptr<engine::Plan> plan_of(std::vector<patch::ControllerDescription> controllers,
                                             const std::vector<LineOf>& lines) {
  auto plan = std::make_shared<engine::Plan>();
  plan->site = "test";
  plan->controllers = std::move(controllers);
  std::vector<patch::PatchedProp> patched;
  for (const LineOf& line : lines) {
    const prop::LineShape shape{.from = {},
                                .to = {base::Millimetres::of(50.0 * (line.pixels - 1)), {}},
                                .stations = line.pixels};
    auto frame = prop::build({{.name = "", .at = {}, .shape = shape, .empty = {}}});
    auto map = wiring::read_route(frame.value(), {.route = {"A B"}, .spares = line.spares});
    patch::PixelFormat format;
    format.order = *light::ColourOrder::from(line.order);
    format.bits_per_second = line.bits_per_second;
    const patch::Placement placement{.controller = plan->controllers[line.controller].name,
                                     .universe = line.universe,
                                     .channel = line.channel,
                                     .nulls = line.nulls,
                                     .output = std::nullopt};
    plan->props.push_back(
        std::make_unique<engine::PlannedProp>(engine::PlannedProp{.name = line.name,
                                                                  .about = "",
                                                                  .frame = std::move(frame).value(),
                                                                  .map = std::move(map).value(),
                                                                  .format = format,
                                                                  .placement = placement,
                                                                  .pixel_power = {},
                                                                  .power = {},
                                                                  .cap = line.cap,
                                                                  .place = std::nullopt,
                                                                  .turned = false}));
    plan->walk.push_back(plan->walk.size());
    patched.push_back({.name = line.name,
                       .map = &plan->props.back()->map,
                       .format = format,
                       .placement = placement});
  }
  plan->patch = patch::assign(plan->controllers, patched).value();
  return plan;
}

/// One colour on everything, for as long as it lasts.
inline pattern::PatternDescription steady(const std::string& name, pattern::ColourName colour) {
  pattern::PatternDescription pattern;
  pattern.name = name;
  pattern::Paint paint;
  paint.target = "all";
  paint.colours = {colour};
  pattern.steps.push_back({.action = pattern::LightStep{{paint}}, .hold = std::nullopt, .say = ""});
  return pattern;
}

/// One pixel along the data order, five a second, no tail.
inline pattern::PatternDescription walk_one_by_one() {
  pattern::PatternDescription pattern;
  pattern.name = "walk";
  pattern::MoveStep move;
  move.paint.target = "all";
  move.tail = 0;
  move.pixels_per_second = 5;
  pattern.steps.push_back({.action = move, .hold = std::nullopt, .say = ""});
  return pattern;
}

}  // namespace panewalk::test
