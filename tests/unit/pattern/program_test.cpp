#include "pattern/program.hpp"

#include <gtest/gtest.h>

#include <cstdlib>
#include <new>

#include "shipped.hpp"
#include "strip.hpp"

namespace {
std::size_t allocations = 0;  // counted by the operator new below
}

void* operator new(std::size_t size) {
  ++allocations;
  if (void* memory = std::malloc(size)) return memory;
  throw std::bad_alloc{};
}
void operator delete(void* memory) noexcept { std::free(memory); }
void operator delete(void* memory, std::size_t) noexcept { std::free(memory); }

namespace panewalk::pattern::test {
namespace {

Step wait(Step step) {
  step.hold.reset();
  return step;
}

std::string at(const Program& program, base::Duration since, std::size_t from = 0) {
  const Beat beat = program.at(since, from);
  return std::to_string(program.number(beat)) + " +" +
         std::to_string(std::chrono::duration_cast<milliseconds>(beat.into).count()) + " ms" +
         (beat.waits ? " waits" : "");
}

TEST(Program, IsDarkWhereItWasNeverCompiled) {
  const Program program;
  EXPECT_EQ(program.beats(), 1U);
  EXPECT_EQ(picture(program, program.at(seconds{99}), 5), ".....");
  EXPECT_EQ(program.caption(program.beat(0)), "");
}

TEST(Program, GoesRoundForEver) {
  const Prop prop = slip_window();
  const Program roll = compile(shipped("colour-roll"), prop.surface());
  EXPECT_EQ(at(roll, seconds{0}), "0 +0 ms");
  EXPECT_EQ(at(roll, milliseconds{1999}), "0 +1999 ms");
  EXPECT_EQ(at(roll, seconds{2}), "1 +0 ms");
  EXPECT_EQ(at(roll, milliseconds{7500}), "3 +1500 ms");
  EXPECT_EQ(at(roll, seconds{8}), "0 +0 ms");
  EXPECT_EQ(at(roll, seconds{8 * 1000 + 5}), "2 +1000 ms");
  EXPECT_EQ(at(roll, seconds{-1}), "0 +0 ms");
  EXPECT_EQ(at(roll, seconds{3}, 3), "0 +1000 ms");
  EXPECT_EQ(at(roll, seconds{0}, 6), "2 +0 ms");
}

TEST(Program, StopsAtABeatThatWaits) {
  const Prop prop = slip_window();
  const Program load = compile(shipped("load-step"), prop.surface());
  EXPECT_EQ(at(load, seconds{0}), "0 +0 ms waits");
  EXPECT_EQ(at(load, seconds{500}), "0 +500000 ms waits");
  EXPECT_EQ(at(load, seconds{5}, 2), "2 +5000 ms waits");

  const Program mixed = compile(
      pattern_of("mixed", {still({paint("all")}, "one"), wait(still({paint("corners")}, "two")),
                           still({paint("centre")}, "three")}),
      prop.surface());
  EXPECT_EQ(at(mixed, milliseconds{1999}), "0 +1999 ms");
  EXPECT_EQ(at(mixed, seconds{60}), "1 +58000 ms waits");
  EXPECT_EQ(at(mixed, seconds{1}, 2), "2 +1000 ms");
  EXPECT_EQ(at(mixed, seconds{3}, 2), "0 +1000 ms");
  EXPECT_EQ(at(mixed, seconds{60}, 2), "1 +56000 ms waits");
}

TEST(Program, WaitsAtEachMemberOfAFamily) {
  const Prop prop = slip_window();
  const Program panes = compile(
      pattern_of("panes", {still({paint("all")}, ""),
                           wait({.action = OneByOneStep{paint("panes")}, .say = "border"})}),
      prop.surface());
  EXPECT_EQ(panes.beats(), 5U);
  EXPECT_EQ(at(panes, seconds{9}), "1 +7000 ms waits");
  EXPECT_EQ(at(panes, seconds{9}, 3), "3 +9000 ms waits");
  EXPECT_EQ(panes.caption(panes.beat(3)), "border: pane A2");
}

TEST(Program, NumbersItsBeats) {
  const Prop prop = slip_window();
  const Program program =
      compile(pattern_of("mixed",
                         {still({paint("all")}, "all"),
                          {.action = MoveStep{paint("run 3"), 0, 10}, .say = ""},
                          {.action = OneByOneStep{paint("panes")}, .hold = seconds{1}, .say = ""}}),
              prop.surface());
  ASSERT_EQ(program.beats(), 9U);
  EXPECT_EQ(program.start(0), seconds{0});
  EXPECT_EQ(program.start(1), seconds{2});
  EXPECT_EQ(program.start(4), milliseconds{2300});
  EXPECT_EQ(program.start(5), milliseconds{2400});
  EXPECT_EQ(program.start(8), milliseconds{5400});
  EXPECT_EQ(program.start(9), milliseconds{6400});
  EXPECT_EQ(program.start(10), milliseconds{8400});
  EXPECT_EQ(program.caption(program.beat(2)), "pixel 57");
  EXPECT_EQ(program.caption(program.beat(8)), "pane B2");
  EXPECT_EQ(program.caption(program.beat(9)), "all");
  for (std::size_t i = 0; i < program.beats(); ++i) EXPECT_EQ(program.number(program.beat(i)), i);
  EXPECT_EQ(program.beat(8).step, 2U);
  EXPECT_EQ(program.beat(8).member, 3U);
}

TEST(Program, MovesThroughItsRegionOnlyAndFadesBehind) {
  const Prop prop = star();
  const Program move = compile(
      pattern_of("move", {{.action = MoveStep{paint("bar Hub-W"), 2, 5}, .say = "to the west"}}),
      prop.surface());
  ASSERT_EQ(move.beats(), 5U);  // 5, then 10-13
  EXPECT_EQ(picture(move, move.beat(0), prop.size()), "....W............");
  EXPECT_EQ(picture(move, move.beat(1), prop.size()), "....4....W.......");
  EXPECT_EQ(picture(move, move.beat(2), prop.size()), "....1....4W......");
  EXPECT_EQ(picture(move, move.beat(4), prop.size()), "..........14W....");
  EXPECT_EQ(move.caption(move.beat(4)), "to the west: pixel 13");
  EXPECT_EQ(move.start(1), milliseconds{200});
}

TEST(Program, PulsesSlowlyFromDarkToDark) {
  const Prop prop = ring();
  Paint blue = paint("pixels 1-2", {ColourName::kBlue});
  blue.level = percent(80);
  const Program pulse = compile(
      pattern_of("pulse", {{.action = PulseStep{blue, seconds{4}}, .hold = seconds{5}, .say = ""}}),
      prop.surface());
  std::vector<light::Colour> colours(prop.size());
  const auto blue_at = [&](base::Duration since) {
    pulse.paint(pulse.at(since), colours);
    EXPECT_EQ(colours[0], colours[1]);
    EXPECT_TRUE(colours[2].dark());
    return static_cast<int>(colours[0].blue);
  };
  EXPECT_EQ(blue_at(seconds{0}), 0);
  EXPECT_EQ(blue_at(seconds{1}), 102);
  EXPECT_EQ(blue_at(seconds{2}), 204);
  EXPECT_EQ(blue_at(seconds{3}), 102);
  EXPECT_EQ(blue_at(seconds{6}), 204);
  EXPECT_EQ(pulse.start(1), seconds{8});  // two whole periods
  EXPECT_EQ(pulse.caption(pulse.beat(0)), "pixels 1-2");
}

TEST(Program, PulsesOnWhileItWaits) {
  const Prop prop = ring();
  const Program pulse = compile(
      pattern_of("pulse", {wait({.action = PulseStep{paint("all"), seconds{2}}, .say = "here"})}),
      prop.surface());
  EXPECT_EQ(picture(pulse, pulse.at(seconds{101}), prop.size()), "WWWWWWWWWWWW");
  EXPECT_EQ(picture(pulse, pulse.at(seconds{102}), prop.size()), "............");
}

TEST(Program, PaintsWithoutAllocating) {
  const Prop prop = slip_window();
  std::vector<light::Colour> colours(prop.size());
  for (const PatternDescription& description : shipped()) {
    const Program program = compile(description, prop.surface());
    const std::size_t before = allocations;
    for (int frame = 0; frame < 400; ++frame) {
      program.paint(program.at(milliseconds{25} * frame), colours);
      program.paint(program.beat(static_cast<std::size_t>(frame)), colours);
    }
    EXPECT_EQ(allocations, before) << description.name;
  }
}

TEST(Program, KeepsALongMoveSmall) {
  const Prop prop{{{.name = "",
                    .at = {},
                    .shape = prop::LineShape{panewalk::pattern::test::at(0, 0),
                                             panewalk::pattern::test::at(200'000, 0), 800},
                    .empty = {}}},
                  {.route = {"A B"}}};
  const PatternDescription description = shipped("chase");
  const std::size_t before = allocations;
  const Program chase = compile(description, prop.surface());
  EXPECT_LT(allocations - before, 100U);  // not a picture a beat
  EXPECT_EQ(chase.beats(), 800U);
  EXPECT_EQ(chase.caption(chase.beat(799)), "pixel 800");
}

}  // namespace
}  // namespace panewalk::pattern::test
