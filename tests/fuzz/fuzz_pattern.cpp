#include "bundle.hpp"
#include "config/describe_pattern.hpp"
#include "config/text.hpp"
#include "config/write.hpp"
#include "engine_laws.hpp"
#include "pattern/program.hpp"

namespace {

using namespace panewalk;
using fuzz::hold;

/// A window and a ring, one turned, one of RGBW pixels, on supplies that are too small for white.
const engine::Plan& props() {
  static const std::shared_ptr<const engine::Plan> kPlan = [] {
    fuzz::Bundle bundle{R"({ "site": "boathouse",
      "controllers": [
        { "name": "bench", "protocol": "e131", "address": "192.0.2.7",
          "supply": { "volts": 12, "amps": 1 } },
        { "name": "yard", "protocol": "artnet", "address": "192.0.2.8", "rate": "30 per second",
          "channels_per_universe": 512 }
      ],
      "props": [
        { "file": "hatch.json", "controller": "bench", "universe": 1, "hung": "turned" },
        { "file": "ring.json", "controller": "yard", "universe": 0, "channel": 490 }
      ] })"};
    bundle.put("hatch.json", R"({ "prop": "hatch",
      "sections": [ { "window": {
        "columns": { "stations": 5, "pitch": "90 mm" }, "rows": { "stations": 5, "pitch": "90 mm" },
        "uprights": [3], "levels": [3] }, "empty": ["B2"] } ],
      "wiring": { "route": ["A1 A2 A3", "C3 C2 C1", "B1 B3", "A1 B1 C1", "A2 C2", "A3 C3"] },
      "pixel": { "order": "GRB", "volts": 12, "full_white": "60 mA" } })");
    bundle.put("ring.json", R"({ "prop": "ring",
      "sections": [
        { "name": "W", "arc": { "centre": ["0 mm", "0 mm"], "radius": "200 mm",
          "from": "0 deg", "to": "360 deg", "stations": 12 } },
        { "name": "L", "line": { "from": ["300 mm", "0 mm"], "to": ["600 mm", "0 mm"],
          "stations": 5 } } ],
      "wiring": { "route": "fewest splices" },
      "pixel": { "order": "GRBW", "channels": 4 } })");
    const auto loaded = site::load(fuzz::Bundle::kSite, bundle.sources());
    for (const auto& problem : loaded ? base::Problems{} : loaded.error()) {
      std::fprintf(stderr, "%s\n", base::to_line(problem).c_str());
    }
    return loaded.value().plan;
  }();
  return *kPlan;
}

/// The same props with this pattern alone.
std::shared_ptr<const engine::Plan> plan_with(const pattern::PatternDescription& pattern) {
  auto plan = std::make_shared<engine::Plan>();
  plan->site = props().site;
  plan->controllers = props().controllers;
  plan->patch = props().patch;
  plan->walk = props().walk;
  for (const auto& prop : props().props) {
    plan->props.push_back(std::make_unique<const engine::PlannedProp>(*prop));
  }
  plan->patterns = {pattern};
  return plan;
}

bool is_same(const std::vector<light::Colour>& one, const std::vector<light::Colour>& other) {
  return std::equal(one.begin(), one.end(), other.begin(), other.end());
}

/// Painted afresh or over what stood before, it is the same; no pixel is brighter than asked.
void hold_painting(const pattern::Program& program, std::size_t pixels) {
  constexpr double kLevel = 0.5;
  constexpr std::uint8_t kMost = 128;  // half of 255, rounded
  std::vector<light::Colour> over(pixels), afresh(pixels);
  pattern::Beat before = program.at({});
  program.paint(before, over, light::Level::of(kLevel));
  for (const auto since : {std::chrono::milliseconds{0}, std::chrono::milliseconds{1499},
                           std::chrono::milliseconds{61'003}}) {
    const pattern::Beat beat = program.at(since);
    hold(program.number(beat) < program.beats(), "a beat is one of the program's");
    hold(fuzz::is_plain(program.caption(beat)), "a caption is plain", program.caption(beat));
    program.paint(beat, afresh, light::Level::of(kLevel));
    const light::Extent extent = program.difference(before, beat);
    for (std::size_t i = 0; i < pixels; ++i) {
      if (i >= extent.first && i < extent.end) continue;
      hold(over[i] == afresh[i], "outside of the difference nothing differs");
    }
    program.repaint(before, beat, over, light::Level::of(kLevel));
    hold(is_same(over, afresh), "a repainting is a painting");
    for (const light::Colour& colour : afresh) {
      hold(colour.red <= kMost && colour.green <= kMost && colour.blue <= kMost &&
               colour.white <= kMost,
           "no light above the level");
    }
    before = beat;
  }
  for (std::size_t i = 0; i < std::min<std::size_t>(program.beats(), 40); ++i) {
    hold(program.number(program.beat(i)) == i, "a beat has its number");
  }
}

}  // namespace

/// A pattern file. Read, compiled for two props, painted, and played through the engine with its
/// limiters.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  constexpr const char* kFile = "patterns/fuzz.json";
  fuzz::Bundle bundle{""};
  bundle.put(kFile, fuzz::text_of(data, size));
  const auto refused = [&bundle](base::Problems problems) {
    for (base::Problem& problem : problems) problem.file = kFile;
    bundle.hold_problems(problems);
    return 0;
  };
  const auto tree = config::read_text(bundle.files().at(kFile));
  if (!tree) return refused(tree.error());
  const auto described = config::describe_pattern(tree.value());
  if (!described) return refused(described.error());
  const std::string written = config::write(described.value());
  const auto again = config::read_text(written);
  hold(again.ok(), "a written pattern is JSON", written);
  const auto mirrored = config::describe_pattern(again.value());
  hold(mirrored.ok() && mirrored.value() == described.value(),
       "a written pattern reads as the same", written);

  const auto plan = plan_with(described.value());
  for (std::size_t i = 0; i < plan->props.size(); ++i) {
    const auto program = pattern::compile(described.value(), plan->surface(i));
    for (const std::string& note : program.notes())
      hold(fuzz::is_plain(note), "a plain note", note);
    hold_painting(program, plan->props[i]->map.size());
  }
  auto look = engine::compose(*plan, {.props = plan->prop_names(),
                                      .pattern = described.value().name,
                                      .level = light::Level::of(1),
                                      .region = std::nullopt});
  hold(look.ok(), "what is described can be lit");
  fuzz::hold_engine(plan, std::move(look).value());
  return 0;
}
