#include "support/find_props.hpp"

#include <cstdlib>
#include <fstream>
#include <iostream>
#include <iterator>

#include "site/load.hpp"
#include "site/told.hpp"

namespace panewalk::test {
namespace {

std::string text_of(const std::string& path, bool& found) {
  std::ifstream in{path};
  found = static_cast<bool>(in);
  return {std::istreambuf_iterator<char>{in}, {}};
}

}  // namespace

std::int32_t pick(Random& random, std::int32_t least, std::int32_t most) {
  return std::uniform_int_distribution<std::int32_t>{least, most}(random);
}

std::vector<Case> demo_props() {
  const site::Sources sources{
      .read = [](const std::string& path) -> base::Result<std::string> {
        bool found = false;
        std::string text = text_of(path, found);
        if (!found) return base::Problems{{.what = "is not there"}};
        return text;
      },
      .list = [](const std::string&) { return std::vector<std::string>{}; }};
  auto site = site::load(PANEWALK_SOURCE_DIR "/config/boathouse.json", sources);
  if (!site) {
    for (const auto& problem : site.error()) std::cerr << base::to_line(problem) << '\n';
    std::exit(1);
  }
  const auto plan = site.value().plan;
  std::vector<Case> cases;
  for (std::size_t i = 0; i < plan->props.size(); ++i) {
    const engine::PlannedProp& prop = *plan->props[i];
    Case one;
    one.name = prop.name;
    one.frame = {plan, &prop.frame};
    one.map = {plan, &prop.map};
    one.patch = {plan, &plan->patch};
    one.subject = site::subject_of(*plan, i);
    cases.push_back(one);
    one.name += ", no cap";
    one.bright = true;
    cases.push_back(one);
  }
  return cases;
}

namespace {

Case wired(const prop::WindowShape& window, const patch::PixelFormat& format,
           const patch::ControllerDescription& controller, const patch::Placement& placement) {
  Case one;
  auto frame = prop::build({{.name = "", .at = {}, .shape = window, .empty = {}}});
  one.frame = std::make_shared<prop::Frame>(std::move(frame).value());
  auto map = wiring::read_route(*one.frame, {.route = {}, .fewest_splices = true});
  one.map = std::make_shared<wiring::PixelMap>(std::move(map).value());
  auto patched = patch::assign(
      {controller},
      {{.name = "frame", .map = one.map.get(), .format = format, .placement = placement}});
  one.patch = std::make_shared<patch::Patch>(std::move(patched).value());
  one.subject = {.frame = one.frame.get(),
                 .map = one.map.get(),
                 .patch = one.patch->props.data(),
                 .format = format,
                 .placement = placement,
                 .prop_names = {"frame", "door-ring"}};
  return one;
}

prop::Spacing even(int stations, double pitch) {
  return {.stations = stations, .way = prop::Spacing::Pitch{base::Millimetres::of(pitch)}};
}

}  // namespace

Case random_window(Random& random, int number) {
  const int columns = pick(random, 5, 15);
  const int rows = pick(random, 5, 15);
  prop::WindowShape window{.columns = even(columns, 80), .rows = even(rows, 90)};
  if (pick(random, 0, 3) > 0) window.uprights.push_back(pick(random, 3, columns - 2));
  if (pick(random, 0, 3) > 0) window.levels.push_back(pick(random, 3, rows - 2));
  patch::ControllerDescription controller;
  controller.name = "box";
  controller.channels_per_universe = pick(random, 0, 1) == 0 ? 510 : 512;
  patch::PixelFormat format;
  const char* const orders[] = {"RGB", "GRB", "BRG", "RGBW"};
  format.order = *light::ColourOrder::from(orders[pick(random, 0, 3)]);
  Case one =
      wired(window, format, controller,
            {.controller = "box", .universe = pick(random, 1, 40), .nulls = pick(random, 0, 2)});
  one.name = "window " + std::to_string(number) + " (" + std::to_string(one.map->size()) + ")";
  one.bright = pick(random, 0, 1) == 0;
  one.subject.fed_once = pick(random, 0, 1) == 0;
  return one;
}

Case big_window() {
  const prop::WindowShape window{
      .columns = even(77, 50), .rows = even(93, 50), .uprights = {39}, .levels = {47}};
  patch::ControllerDescription controller;
  controller.name = "box";
  Case one =
      wired(window, {.order = *light::ColourOrder::from("GRB")}, controller, {.controller = "box"});
  one.name = "window of " + std::to_string(one.map->size());
  one.bright = true;
  return one;
}

}  // namespace panewalk::test
