#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <set>
#include <string>
#include <vector>

#include "pattern/program.hpp"
#include "unit/pattern/props.hpp"
#include "unit/pattern/shipped.hpp"

namespace panewalk::pattern::test {
namespace {

using Pixels = std::set<std::uint32_t>;

struct RandomWindow {
  prop::WindowShape shape;
  wiring::WiringDescription wiring;
};

std::vector<int> some_between(int places) {
  std::vector<int> at;
  for (int place = 2; place < places; ++place) {
    if (*rc::gen::weightedElement<bool>({{3, false}, {1, true}})) at.push_back(place);
  }
  return at;
}

/// Levels from left to right or back, then what is left of the uprights, all in a random order.
RandomWindow random_window() {
  const int columns = *rc::gen::inRange(2, 14);
  const int rows = *rc::gen::inRange(2, 14);
  RandomWindow window{.shape = {.columns = pitch(columns, *rc::gen::inRange(20, 200)),
                                .rows = pitch(rows, *rc::gen::inRange(20, 200)),
                                .uprights = some_between(columns),
                                .levels = some_between(rows),
                                .panes = {}},
                      .wiring = {}};
  const std::size_t uprights = window.shape.uprights.size() + 2;
  const std::size_t levels = window.shape.levels.size() + 2;
  const auto joint = [](std::size_t upright, std::size_t level) {
    return prop::letters(upright) + std::to_string(level + 1);
  };
  std::vector<std::string> across;
  std::vector<std::string> down;
  for (std::size_t level = 0; level < levels; ++level) {
    const bool back = *rc::gen::arbitrary<bool>();
    across.push_back(joint(back ? uprights - 1 : 0, level) + ' ' +
                     joint(back ? 0 : uprights - 1, level));
  }
  for (std::size_t upright = 0; upright < uprights; ++upright) {
    down.push_back('(' + joint(upright, 0) + ") (" + joint(upright, levels - 1) + ')');
  }
  std::rotate(across.begin(), across.begin() + *rc::gen::inRange(0, static_cast<int>(levels)),
              across.end());
  std::rotate(down.begin(), down.begin() + *rc::gen::inRange(0, static_cast<int>(uprights)),
              down.end());
  window.wiring.route = across;
  if (levels < static_cast<std::size_t>(rows)) {
    window.wiring.route.insert(window.wiring.route.end(), down.begin(), down.end());
  }
  return window;
}

Prop random_prop() {
  const RandomWindow window = random_window();
  const std::string order = *rc::gen::element<std::string>("RGB", "GRB", "RGBW");
  const std::int64_t first =
      1 + static_cast<std::int64_t>(order.size()) * *rc::gen::inRange(0, 120);
  return {{{.name = "", .at = {}, .shape = window.shape, .empty = {}}},
          window.wiring,
          {.order = order, .channels_per_universe = *rc::gen::element(510, 512), .channel = first}};
}

void add(const Region& region, Pixels& pixels) {
  RC_ASSERT(std::is_sorted(region.pixels.begin(), region.pixels.end()));
  for (const PixelIndex pixel : region.pixels) pixels.insert(pixel.value());
}

Pixels pixels_of(const Prop& prop, const std::string& words) {
  Pixels pixels;
  if (is_family(words)) {
    for (const Region& member : family(prop.surface(), words)) add(member, pixels);
  } else {
    const auto found = region(prop.surface(), words);
    if (found) add(found.value(), pixels);
  }
  return pixels;
}

RC_GTEST_PROP(RegionsOfRandomWindows, CoverTheWindow, ()) {
  const Prop prop = random_prop();
  const Pixels all = pixels_of(prop, "all");
  RC_ASSERT(all.size() == prop.size());
  for (const char* words : {"panes", "bars", "runs", "pixels", "universes", "sections"}) {
    RC_ASSERT(pixels_of(prop, words) == all);
  }
  Pixels both = pixels_of(prop, "uprights");
  both.merge(pixels_of(prop, "levels"));
  RC_ASSERT(both == all);
}

RC_GTEST_PROP(RegionsOfRandomWindows, PartTheOutlineFromTheInside, ()) {
  const Prop prop = random_prop();
  Pixels outline = pixels_of(prop, "outline");
  Pixels inside = pixels_of(prop, "inside");
  RC_ASSERT(outline.size() + inside.size() == prop.size());
  outline.merge(inside);
  RC_ASSERT(outline.size() == prop.size());
}

RC_GTEST_PROP(RegionsOfRandomWindows, AreLoopsRoundEachPane, ()) {
  const Prop prop = random_prop();
  const Surface surface = prop.surface();
  for (const Region& pane : family(surface, "panes")) {
    const Pixels loop{[&pane] {
      Pixels pixels;
      add(pane, pixels);
      return pixels;
    }()};
    RC_ASSERT(loop.size() >= 4U);
    for (const PixelIndex pixel : pane.pixels) {
      std::size_t beside = 0;
      for (const auto& next : surface.frame->neighbours(surface.map->station_of(pixel))) {
        beside += loop.count(surface.map->pixel_of(next.station).value().value());
      }
      RC_ASSERT(beside == 2U);
    }
  }
}

RC_GTEST_PROP(RegionsOfRandomWindows, AreFoundByTheNamesOfTheirFamily, ()) {
  const Prop prop = random_prop();
  for (const char* words : {"panes", "runs", "splices", "seams", "bars", "uprights", "levels",
                            "sections", "universes", "pixels"}) {
    for (const Region& member : family(prop.surface(), words)) {
      const auto found = region(prop.surface(), member.name);
      RC_ASSERT(found.ok());
      RC_ASSERT(found.value().pixels == member.pixels);
    }
  }
}

std::vector<std::string> targets(const Step& step) {
  struct Targets {
    std::vector<std::string> operator()(const LightStep& step) const {
      std::vector<std::string> all;
      for (const Paint& paint : step.paints) all.push_back(paint.target);
      return all;
    }
    std::vector<std::string> operator()(const OneByOneStep& step) const {
      return {step.paint.target};
    }
    std::vector<std::string> operator()(const MoveStep& step) const { return {step.paint.target}; }
    std::vector<std::string> operator()(const RampStep& step) const { return {step.paint.target}; }
    std::vector<std::string> operator()(const PulseStep& step) const { return {step.paint.target}; }
  };
  return std::visit(Targets{}, step.action);
}

RC_GTEST_PROP(ProgramsOfRandomWindows, LightOnlyTheirRegions, ()) {
  const Prop prop = random_prop();
  std::vector<light::Colour> colours(prop.size());
  for (const PatternDescription& description : shipped()) {
    const Program program = compile(description, prop.surface());
    for (std::size_t i = 0; i < program.beats(); ++i) {
      Beat beat = program.beat(i);
      Pixels allowed;
      for (const std::string& words : targets(description.steps[beat.step])) {
        allowed.merge(pixels_of(prop, words));
      }
      if (std::holds_alternative<OneByOneStep>(description.steps[beat.step].action) &&
          !program.caption(beat).empty()) {
        allowed = pixels_of(prop, program.caption(beat));
      }
      beat.into = std::chrono::milliseconds{*rc::gen::inRange(0, 200)};
      program.paint(beat, colours);
      for (std::size_t at = 0; at < colours.size(); ++at) {
        const bool may = allowed.count(static_cast<std::uint32_t>(at + 1)) > 0;
        RC_ASSERT(colours[at].dark() || may);
      }
    }
  }
}

RC_GTEST_PROP(ProgramsOfRandomWindows, FindEachBeatByItsTime, ()) {
  const Prop prop = random_prop();
  for (const PatternDescription& description : shipped()) {
    const Program program = compile(description, prop.surface());
    for (std::size_t i = 0; i < program.beats(); ++i) {
      RC_ASSERT(program.number(program.beat(i)) == i);
      const Beat beat = program.at(program.start(i));
      RC_ASSERT(beat.waits || (program.number(beat) == i && beat.into == base::Duration{0}));
    }
  }
}

}  // namespace
}  // namespace panewalk::pattern::test
