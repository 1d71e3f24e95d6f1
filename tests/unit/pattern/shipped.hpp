#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "pattern/description.hpp"

/// What the files in patterns/ say, without their sentences.
namespace panewalk::pattern::test {

using std::chrono::seconds;

inline light::Level percent(double share) { return light::Level::of(share / 100); }

inline Paint paint(std::string target, std::vector<ColourName> colours = {ColourName::kWhite}) {
  return {.target = std::move(target), .colours = std::move(colours)};
}

inline PatternDescription pattern_of(std::string name, std::vector<Step> steps) {
  return {.name = std::move(name),
          .purpose = {},
          .look_for = {},
          .catches = {},
          .steps = std::move(steps)};
}

inline Step still(std::vector<Paint> paints, std::string say) {
  return {.action = LightStep{std::move(paints)}, .hold = seconds{2}, .say = std::move(say)};
}

inline std::vector<PatternDescription> shipped() {
  using enum ColourName;
  const std::vector<ColourName> ends{kYellow, kBlue};
  Paint dim_cross = paint("cross");
  dim_cross.level = percent(20);
  Paint tens = paint("all", {kRed, kYellow, kGreen, kCyan, kBlue, kMagenta});
  tens.by = By::kTen;
  tens.level = percent(20);
  Paint tenth = paint("all");
  tenth.every = 10;
  Paint splices = paint("splices", ends);
  splices.by = By::kPixel;
  Paint seams = paint("seams", ends);
  seams.by = By::kPixel;
  const auto load = [](double share, const char* say) {
    Paint all = paint("all");
    all.level = percent(share);
    return Step{.action = LightStep{{all}}, .hold = {}, .say = say};
  };
  return {
      pattern_of("chase", {{.action = MoveStep{paint("all"), 3, 5}, .say = {}}}),
      pattern_of(
          "corner-check",
          {still({paint("corner top-left", {kRed}), paint("corner top-right", {kGreen}),
                  paint("corner bottom-right", {kBlue}), paint("corner bottom-left", {kWhite})},
                 "corners clockwise from top left")}),
      pattern_of("centre-cross", {still({dim_cross, paint("centre")}, "centre and its bars")}),
      pattern_of("per-pane", {{.action = OneByOneStep{paint("panes")}, .say = {}}}),
      pattern_of("run-colours",
                 {still({paint("runs", {kBlue, kYellow, kRed, kCyan, kMagenta, kGreen})},
                        "each run in its colour")}),
      pattern_of("jump-ends", {{.action = OneByOneStep{splices}, .say = {}}}),
      pattern_of("ruler", {still({tens, tenth}, "every tenth pixel white")}),
      pattern_of("slope", {{.action = RampStep{paint("runs"), percent(4), percent(100)},
                            .say = "each run from dark to bright"}}),
      pattern_of("colour-roll", {still({paint("all", {kRed})}, "all red"),
                                 still({paint("all", {kGreen})}, "all green"),
                                 still({paint("all", {kBlue})}, "all blue"),
                                 still({paint("all", {kWhite})}, "all white")}),
      pattern_of("seams", {{.action = OneByOneStep{seams}, .say = {}}}),
      pattern_of(
          "load-step",
          {load(25, "white, 25 % of what is asked"), load(50, "white, 50 % of what is asked"),
           load(75, "white, 75 % of what is asked"), load(100, "white, 100 % of what is asked")}),
      pattern_of("find-me", {{.action = PulseStep{paint("all"), seconds{3}}, .say = {}}}),
  };
}

inline PatternDescription shipped(std::string_view name) {
  for (PatternDescription& each : shipped()) {
    if (each.name == name) return std::move(each);
  }
  return {};
}

}  // namespace panewalk::pattern::test
