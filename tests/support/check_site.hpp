#pragma once

#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "check/entry.hpp"
#include "support/frames.hpp"
#include "support/plans.hpp"

/// A boathouse to check: what its guided checks are asked about.
namespace panewalk::test {

struct Hung {
  std::string name;
  std::vector<prop::SectionDescription> sections;
  std::vector<std::string> route;
  std::size_t controller = 0;
  std::int64_t universe = 1;
  int output = 1;
  std::optional<base::Point> place;
  bool turned = false;
};

/// The names of the patterns that ship, with a sentence of their own each.
inline std::vector<pattern::PatternDescription> named_patterns() {
  std::vector<pattern::PatternDescription> patterns;
  for (const char* name :
       {"centre-cross", "chase", "colour-roll", "corner-check", "find-me", "jump-ends", "load-step",
        "per-pane", "ruler", "run-colours", "seams", "slope"}) {
    patterns.push_back(steady(name, pattern::ColourName::kWhite));
    patterns.back().look_for = "Look for " + std::string{name} + ".";
  }
  return patterns;
}

inline std::shared_ptr<engine::Plan> plan_of(const std::vector<Hung>& hung) {
  auto plan = std::make_shared<engine::Plan>();
  plan->site = "boathouse";
  plan->controllers = {e131_controller("bench"), artnet_controller("yard")};
  plan->patterns = named_patterns();
  std::vector<patch::PatchedProp> patched;
  for (const Hung& each : hung) {
    prop::Frame frame = frame_of(each.sections);
    auto map = wiring::read_route(frame, {.route = each.route});
    if (!map.ok()) ADD_FAILURE() << lines(map.error());
    patch::PixelFormat format;
    format.order = *light::ColourOrder::from("GRB");
    const patch::Placement placement{.controller = plan->controllers[each.controller].name,
                                     .universe = each.universe,
                                     .channel = 1,
                                     .nulls = 0,
                                     .output = each.output};
    plan->props.push_back(
        std::make_unique<engine::PlannedProp>(engine::PlannedProp{.name = each.name,
                                                                  .about = "",
                                                                  .frame = std::move(frame),
                                                                  .map = std::move(map).value(),
                                                                  .format = format,
                                                                  .placement = placement,
                                                                  .pixel_power = {},
                                                                  .power = {},
                                                                  .cap = {},
                                                                  .place = each.place,
                                                                  .turned = each.turned}));
    plan->walk.push_back(plan->walk.size());
    patched.push_back({.name = each.name,
                       .map = &plan->props.back()->map,
                       .format = format,
                       .placement = placement});
  }
  auto assigned = patch::assign(plan->controllers, patched);
  if (!assigned.ok()) ADD_FAILURE() << lines(assigned.error());
  plan->patch = std::move(assigned).value();
  return plan;
}

inline Hung hung_window(std::string name, std::int64_t universe, int output) {
  return {.name = std::move(name),
          .sections = {section(slip_window())},
          .route = {"A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"},
          .universe = universe,
          .output = output,
          .place = at(0, 0)};
}

inline Hung hung_line(std::string name, int pixels, std::size_t controller, std::int64_t universe,
                      int output, std::optional<base::Point> place) {
  return {.name = std::move(name),
          .sections = {section(prop::LineShape{at(0, 0), at(50.0 * (pixels - 1), 0), pixels})},
          .route = {"A B"},
          .controller = controller,
          .universe = universe,
          .output = output,
          .place = place};
}

/// One a line.
inline std::string text_of(const std::vector<std::string>& all) {
  std::string text;
  for (const std::string& each : all) text += each + '\n';
  return text;
}

/// Writes entries a minute apart, as a logbook would.
class Pages {
 public:
  check::EntryNumber add(check::Event event, std::string site = "boathouse") {
    const auto number = static_cast<check::EntryNumber>(entries_.size()) + 1;
    entries_.push_back(
        {.number = number, .at = number * 60, .site = std::move(site), .event = std::move(event)});
    return number;
  }
  [[nodiscard]] const std::vector<check::Entry>& entries() const { return entries_; }

 private:
  std::vector<check::Entry> entries_;
};

}  // namespace panewalk::test
