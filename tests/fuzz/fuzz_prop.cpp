#include "bundle.hpp"
#include "check/bench.hpp"
#include "config/describe_prop.hpp"
#include "config/write.hpp"
#include "engine_laws.hpp"
#include "sheet/drawing.hpp"
#include "sheet/sheet.hpp"
#include "site/drawing_export.hpp"
#include "site/map_export.hpp"
#include "wiring/route_writer.hpp"

namespace {

using namespace panewalk;
using fuzz::hold;

constexpr const char* kProp = "prop.json";

/// Sheets and exports of larger props take their time and tell nothing more.
constexpr std::size_t kMostDrawn = 400;

void hold_mirror(const config::PropFile& file) {
  const std::string text = config::write(file);
  const auto tree = config::read_text(text);
  hold(tree.ok(), "a written prop is JSON", text);
  auto again = config::describe_prop(tree.value());
  hold(again.ok(), "a written prop is a prop", text);
  config::PropFile read = std::move(again).value();
  for (std::size_t i = 0; i < read.sections.size(); ++i) {
    // Points stay in their own file.
    if (!file.points_files[i].empty()) read.sections[i].shape = file.sections[i].shape;
  }
  hold(read == file, "a written prop reads as the same", text);
}

/// The route written from the order alone reads as the same order.
void hold_route(const prop::Frame& frame, const wiring::PixelMap& map) {
  std::vector<base::StationIndex> order;
  for (std::size_t i = 1; i <= map.size(); ++i) {
    order.push_back(map.station_of(base::PixelIndex::of(i)));
  }
  const auto again = wiring::read_route(frame, {.route = wiring::write_route(frame, order)});
  hold(again.ok(), "a written route is a route");
  for (std::size_t i = 1; i <= map.size(); ++i) {
    hold(again.value().station_of(base::PixelIndex::of(i)) == order[i - 1],
         "a written route reads as the same");
  }
}

void hold_text(const std::string& text, std::string_view law) {
  hold(!text.empty() && fuzz::is_utf8(text), law);
}

void hold_exports(const engine::Plan& plan, const config::PropFile& file) {
  hold(config::read_text(site::map_as_json(plan, 0)).ok(), "the map is JSON");
  hold(config::read_text(site::drawing_as_json(plan, 0)).ok(), "the drawing is JSON");
  hold_text(site::map_as_csv(plan, 0), "the map is CSV in UTF-8");
  hold_text(site::map_as_table(plan, 0), "the map is a table in UTF-8");
  for (const prop::Side side : {prop::Side::kFront, prop::Side::kBack}) {
    hold_text(sheet::drawing_svg(*plan.props[0], side,
                                 {.units = sheet::Units::kInches, .pipe = file.pipe}),
              "the drawing is UTF-8");
  }
}

void hold_sheet(const engine::Plan& plan, const config::PropFile& file) {
  const engine::PlannedProp& prop = *plan.props[0];
  const power::Study study{.frame = &prop.frame,
                           .map = &prop.map,
                           .pixel = prop.pixel_power,
                           .power = prop.power,
                           .nulls = prop.placement.nulls,
                           .source = prop.pixel_power.volts,
                           .supply = std::nullopt,
                           .others = {}};
  const auto report = power::report(study);
  hold(report.ok(), "what was planned has power");
  const std::string html = sheet::sheet_html({.plan = &plan,
                                              .prop = 0,
                                              .pipe = file.pipe,
                                              .study = &study,
                                              .report = &report.value(),
                                              .bench = {},
                                              .units = sheet::Units::kMillimetres,
                                              .date = "2026-11-25"});
  hold_text(html, "the sheet is UTF-8");
  hold(html.find("<script") == std::string::npos, "no text becomes a script");
  check::bench_steps(plan, 0);
}

/// A site of this prop alone; nothing where the chain is too long for its controller.
std::shared_ptr<const engine::Plan> plan_of(const site::PropLoader::Loaded& loaded) {
  auto plan = std::make_shared<engine::Plan>();
  plan->site = "boathouse";
  plan->controllers = {{.name = "bench", .address = {.host = {192, 0, 2, 7}, .port = 5568}}};
  const patch::Placement placement{.controller = "bench", .nulls = 1};
  auto patch = patch::assign(plan->controllers, {{.name = loaded.file.name,
                                                  .map = &*loaded.map,
                                                  .format = loaded.file.pixel,
                                                  .placement = placement}});
  if (!patch) return nullptr;
  auto network = power::build(*loaded.frame, *loaded.map, loaded.file.power, placement.nulls);
  hold(network.ok(), "what is fed without nulls is fed with one");
  plan->props.push_back(std::make_unique<engine::PlannedProp>(
      engine::PlannedProp{.name = loaded.file.name,
                          .about = loaded.file.about,
                          .frame = *loaded.frame,
                          .map = *loaded.map,
                          .format = loaded.file.pixel,
                          .placement = placement,
                          .pixel_power = loaded.file.pixel_power,
                          .power = loaded.file.power,
                          .cap = {},
                          .place = std::nullopt,
                          .network = std::move(network).value()}));
  plan->patch = std::move(patch).value();
  plan->walk = {0};
  return plan;
}

}  // namespace

/// A Bundle whose first file is "prop.json", perhaps with a points file. Read, built, wired, and
/// everything printed that is printed of a prop.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const fuzz::Bundle bundle{"=== prop.json\n" + fuzz::text_of(data, size)};
  const site::Sources sources = bundle.sources();
  site::PropLoader loader{"", sources};
  const site::PropLoader::Loaded& loaded = loader.load(kProp);
  if (!loaded.problems.empty()) {
    bundle.hold_problems(loaded.problems);
    return 0;
  }
  hold_mirror(loaded.file);
  fuzz::hold_permutation(*loaded.frame, *loaded.map);
  hold_route(*loaded.frame, *loaded.map);
  if (loaded.frame->stations().size() > kMostDrawn) return 0;
  const auto plan = plan_of(loaded);
  if (plan == nullptr) return 0;
  hold_exports(*plan, loaded.file);
  hold_sheet(*plan, loaded.file);
  return 0;
}
