#include "config/describe_pattern.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <sstream>

#include "config/write.hpp"
#include "told.hpp"

namespace panewalk::config {
namespace {

using namespace std::chrono_literals;
using pattern::ColourName;

std::string refused(std::string_view text) { return told_of(text, describe_pattern); }

std::string with_steps(const std::string& steps) {
  return "{\"pattern\":\"glow\",\"purpose\":\"p\",\"look_for\":\"l\",\"steps\":[\n" + steps + "]}";
}

pattern::PatternDescription read(const std::string& steps) {
  const std::string text = with_steps(steps);
  EXPECT_EQ(refused(text), "");
  return describe_pattern(read_text(text).value()).value();
}

TEST(DescribePattern, ReadsAStepOfEachVerb) {
  const auto described = read(R"(
    {"light":[{"region":"all","colours":["red","blue"],"by":"ten","level":"20 %","every":10},
              {"each":"runs"}],"hold":"until confirmed","say":"all of it"},
    {"one_by_one":"panes","colour":"green","hold":"200 ms"},
    {"move":"outline","tail":3,"pace":"10 per second"},
    {"ramp":"runs","from":"5 %","to":"50 %","level":"80 %"},
    {"pulse":"pane A1","period":"4 s","hold":"8 s"})");
  EXPECT_EQ(described.name, "glow");
  ASSERT_EQ(described.steps.size(), 5U);
  const auto& light = std::get<pattern::LightStep>(described.steps[0].action);
  EXPECT_EQ(light.paints[0].target, "all");
  EXPECT_EQ(light.paints[0].colours, (std::vector{ColourName::kRed, ColourName::kBlue}));
  EXPECT_EQ(light.paints[0].by, pattern::By::kTen);
  EXPECT_EQ(light.paints[0].level.share(), 0.2);
  EXPECT_EQ(light.paints[0].every, 10);
  EXPECT_EQ(light.paints[1].target, "runs");
  EXPECT_EQ(light.paints[1].colours, std::vector{ColourName::kWhite});
  EXPECT_EQ(described.steps[0].hold, std::nullopt);
  EXPECT_EQ(described.steps[0].say, "all of it");
  EXPECT_EQ(std::get<pattern::OneByOneStep>(described.steps[1].action).paint.target, "panes");
  EXPECT_EQ(described.steps[1].hold, 200ms);
  const auto& move = std::get<pattern::MoveStep>(described.steps[2].action);
  EXPECT_EQ(move.tail, 3);
  EXPECT_EQ(move.pixels_per_second, 10);
  const auto& ramp = std::get<pattern::RampStep>(described.steps[3].action);
  EXPECT_EQ(ramp.from.share(), 0.05);
  EXPECT_EQ(ramp.to.share(), 0.5);
  EXPECT_EQ(ramp.paint.level.share(), 0.8);
  EXPECT_EQ(described.steps[3].hold, 2s);
  EXPECT_EQ(std::get<pattern::PulseStep>(described.steps[4].action).period, 4s);
}

TEST(DescribePattern, TellsEveryMistakeAtOnce) {
  EXPECT_EQ(refused(R"({
  "pattern": "my glow",
  "look_for": "one\ntwo",
  "catches": "mirrored",
  "steps": [
    { "light": [{ "region": "panes", "colour": "purple" }, { "each": "outlines" }, {}, { "region": "corner middle" }] },
    { "one_by_one": "pane", "colour": "red", "colours": ["blue"] },
    { "move": "all", "hold": "2 s", "tail": 21, "pace": "11 per second" },
    { "ramp": "bar", "from": "101 %", "every": 0, "speed": 1 },
    { "pulse": "all", "period": "1 s", "hold": "100 ms", "by": "pixels" },
    { "hold": "2 s" },
    { "move": "all", "pulse": "all" }
  ]
})"),
            R"told(f.json:1:1: /purpose: missing; one line: what it is for
f.json:2:14: /pattern: "my glow" can't be a name; 1 to 40 letters, digits, "-" or "_"
f.json:3:15: /look_for: "one\u000atwo" has a control character in it; one line of plain text
f.json:4:14: /catches: found the text "mirrored"; a list of faults in words is needed
f.json:6:29: /steps/0/light/0/region: "panes" is a family, not a region; in "light" a family stands under "each"
f.json:6:48: /steps/0/light/0/colour: "purple" is not known; allowed: "black", "red", "green", "blue", "white", "yellow", "cyan", "magenta" or "orange"
f.json:6:70: /steps/0/light/1/each: "outlines" is no family; allowed: "panes", "runs", "splices", "seams", "bars", "uprights", "levels", "sections", "universes" or "pixels"
f.json:6:84: /steps/0/light/2: nothing says where; one of "region" or "each" is needed
f.json:6:100: /steps/0/light/3/region: "middle" is no corner; allowed: "top-left", "top-right", "bottom-right" or "bottom-left"
f.json:7:21: /steps/1/one_by_one: "pane" is no family; did you mean "panes"?
f.json:7:46: /steps/1/colours: "colours" beside "colour"; one of the two
f.json:8:22: /steps/2/hold: "hold" beside "move"; a move has its own "pace"
f.json:8:45: /steps/2/tail: 21 is out of range; from 0 to 20
f.json:8:57: /steps/2/pace: "11 per second" is out of range; from 1 to 10 per second
f.json:9:15: /steps/3/ramp: "bar" does not say which; write it like "bar A1-B1"
f.json:9:30: /steps/3/from: "101 %" is out of range; from 0 % to 100 %
f.json:9:48: /steps/3/every: 0 is out of range; from 1 to 1000
f.json:9:51: /steps/3/speed: unknown name; allowed: "light", "one_by_one", "move", "ramp", "pulse", "colour", "colours", "by", "level", "every", "from", "to", "hold" or "say"
f.json:10:33: /steps/4/period: "1 s" is out of range; from 2 s to 1 min
f.json:10:48: /steps/4/hold: "100 ms" is out of range; from 200 ms to 10 min
f.json:10:64: /steps/4/by: "pixels" is not known; did you mean "pixel"?
f.json:11:5: /steps/5: a step without a verb; one of "light", "one_by_one", "move", "ramp" or "pulse" is needed
f.json:12:22: /steps/6/pulse: "pulse" beside "move"; one of the two
)told");
}

TEST(DescribePattern, NeedsItsParts) {
  EXPECT_EQ(refused("{}"),
            "f.json:1:1: /pattern: missing; the name of the pattern\n"
            "f.json:1:1: /purpose: missing; one line: what it is for\n"
            "f.json:1:1: /look_for: missing; what the builder should see\n"
            "f.json:1:1: /steps: missing; a list of one or more steps\n");
}

TEST(DescribePattern, ReadsEveryPatternThatShipsAndWritesItBack) {
  int count = 0;
  for (const auto& entry :
       std::filesystem::directory_iterator{std::string{PANEWALK_SOURCE_DIR} + "/patterns"}) {
    if (entry.path().extension() != ".json") continue;
    std::ostringstream text;
    text << std::ifstream{entry.path()}.rdbuf();
    EXPECT_EQ(refused(text.str()), "") << entry.path();
    const auto described = describe_pattern(read_text(text.str()).value());
    ASSERT_TRUE(described.ok());
    const auto again = describe_pattern(read_text(write(described.value())).value());
    ASSERT_TRUE(again.ok());
    EXPECT_EQ(again.value(), described.value()) << entry.path();
    ++count;
  }
  EXPECT_GE(count, 12);
}

}  // namespace
}  // namespace panewalk::config
