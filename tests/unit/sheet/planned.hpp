#pragma once

#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "engine/plan.hpp"
#include "power/report.hpp"
#include "sheet/sheet.hpp"
#include "support/frames.hpp"
#include "support/plans.hpp"
#include "support/routes.hpp"

/// Plans of one prop for the tests of sheets.
namespace panewalk::test {

struct Planned {
  std::string name = "shed-window";
  std::string about;
  std::vector<prop::SectionDescription> sections;
  wiring::WiringDescription wiring;
  power::PowerDescription power = {};
  int nulls = 0;
  int channels_per_universe = 510;
};

inline std::shared_ptr<engine::Plan> plan_with(const Planned& wanted) {
  auto plan = std::make_shared<engine::Plan>();
  plan->site = "boathouse";
  plan->controllers = {e131_controller("bench")};
  plan->controllers.front().channels_per_universe = wanted.channels_per_universe;
  prop::Frame frame = frame_of(wanted.sections);
  auto map = wiring::read_route(frame, wanted.wiring);
  if (!map.ok()) {
    ADD_FAILURE() << lines(map.error());
    return plan;
  }
  const patch::Placement placement{
      .controller = "bench", .universe = 1, .channel = 1, .nulls = wanted.nulls, .output = 1};
  plan->props.push_back(
      std::make_unique<engine::PlannedProp>(engine::PlannedProp{.name = wanted.name,
                                                                .about = wanted.about,
                                                                .frame = std::move(frame),
                                                                .map = std::move(map).value(),
                                                                .format = {},
                                                                .placement = placement,
                                                                .pixel_power = {},
                                                                .power = wanted.power,
                                                                .cap = {},
                                                                .place = std::nullopt,
                                                                .turned = false}));
  plan->patch = patch::assign(plan->controllers, {{.name = wanted.name,
                                                   .map = &plan->props.back()->map,
                                                   .format = {},
                                                   .placement = placement}})
                    .value();
  return plan;
}

/// The whole sheet of the one prop.
inline std::string sheet_of(const engine::Plan& plan, std::vector<sheet::CheckRow> bench = {},
                            sheet::Units units = sheet::Units::kMillimetres) {
  const engine::PlannedProp& prop = *plan.props.front();
  const power::Study study{.frame = &prop.frame,
                           .map = &prop.map,
                           .pixel = prop.pixel_power,
                           .power = prop.power,
                           .nulls = prop.placement.nulls,
                           .source = prop.pixel_power.volts,
                           .supply = std::nullopt,
                           .others = {}};
  const auto report = power::report(study);
  if (!report) {
    ADD_FAILURE() << lines(report.error());
    return "";
  }
  return sheet::sheet_html({.plan = &plan,
                            .prop = 0,
                            .pipe = {},
                            .study = &study,
                            .report = &report.value(),
                            .bench = std::move(bench),
                            .units = units,
                            .date = "2026-11-25"});
}

}  // namespace panewalk::test
