#include "power/limits.hpp"

#include <gtest/gtest.h>

#include "chains.hpp"

namespace panewalk::power {
namespace {

using Why = LevelLimit::Why;

/// One node behind a resistor.
Network one(double ohms) {
  Network network;
  network.ladder = {
      .links = {}, .taps = {{.node = 0, .ohms = Ohms::of(ohms)}}, .brace = std::nullopt};
  network.legs = {{.kind = Feed::Kind::kLeadIn,
                   .at = "lead-in",
                   .node = 0,
                   .wire = {},
                   .length = {},
                   .ohms = Ohms::of(ohms)}};
  network.extra_chips = {0};
  return network;
}

PixelPower drawing(double amps, double idle = 0, Draws draws = Draws::kConstantCurrent) {
  return {.volts = Volts::of(12),
          .full_white = Amps::of(amps),
          .idle = Amps::of(idle),
          .draws = draws,
          .least_volts = std::nullopt};
}

// 1.2 V may be lost; 1 ohm loses 0.1 V at black and 4.1 V at full: 1.1 / 4 = 27.5 %.
TEST(LevelLimit, KeepsTheLowestVolts) {
  const Network network = one(1);
  const PixelPower pixel = drawing(4.1, 0.1);
  const std::vector<Consumer> all{{&network, &pixel}};
  const LevelLimit limit = level_limit(all, 0, Volts::of(12), std::nullopt);
  EXPECT_NEAR(limit.level.share(), 0.275, 1e-9);
  EXPECT_EQ(limit.why, Why::kVolts);
}

// Two props of 4 A, 0.1 A idle each, on 5 A: 0.2 + 7.8 x = 5.
TEST(LevelLimit, CountsAllThatHangsOnTheSupply) {
  const Network network = one(0.001);
  const PixelPower pixel = drawing(4, 0.1);
  const std::vector<Consumer> all{{&network, &pixel}, {&network, &pixel}};
  const LevelLimit limit = level_limit(all, 1, Volts::of(12), Amps::of(5));
  EXPECT_NEAR(limit.level.share(), 4.8 / 7.8, 1e-9);
  EXPECT_EQ(limit.why, Why::kAmps);
}

TEST(LevelLimit, IsNoneWhereFullWhiteIsInside) {
  const Network network = one(0.1);
  const PixelPower pixel = drawing(4);
  const std::vector<Consumer> all{{&network, &pixel}};
  EXPECT_EQ(level_limit(all, 0, Volts::of(12), Amps::of(4)).level, light::Level::of(1));
  EXPECT_EQ(level_limit(all, 0, Volts::of(12), Amps::of(4)).why, Why::kNothing);
}

TEST(LevelLimit, IsBlackWhereIdleIsTooMuch) {
  const Network network = one(0.1);
  const PixelPower pixel = drawing(4, 1);
  const std::vector<Consumer> all{{&network, &pixel}};
  const LevelLimit limit = level_limit(all, 0, Volts::of(12), Amps::of(0.9));
  EXPECT_EQ(limit.level, light::Level::of(0));
  EXPECT_EQ(limit.why, Why::kBlack);
}

// 108 W of full white behind 1 ohm collapses. At 10.8 V and 1.2 A, 12.96 W: 12 %.
TEST(LevelLimit, KeepsConstantPowerFromCollapsing) {
  const Network network = one(1);
  const PixelPower pixel = drawing(9, 0, Draws::kConstantPower);
  const std::vector<Consumer> all{{&network, &pixel}};
  const LevelLimit limit = level_limit(all, 0, Volts::of(12), Amps::of(20));
  EXPECT_NEAR(limit.level.share(), 0.12, 1e-9);
  EXPECT_EQ(limit.why, Why::kVolts);
}

// The neighbour's collapse counts as more than the supply has, this prop's wire is good.
TEST(LevelLimit, CountsACollapseElsewhereAsTooManyAmps) {
  const Network good = one(0.001);
  const Network weak = one(1);
  const PixelPower pixel = drawing(4, 0, Draws::kConstantPower);  // 48 W, 36 W are the most
  const std::vector<Consumer> all{{&good, &pixel}, {&weak, &pixel}};
  const LevelLimit limit = level_limit(all, 0, Volts::of(12), Amps::of(100));
  EXPECT_NEAR(limit.level.share(), 0.75, 1e-6);
  EXPECT_EQ(limit.why, Why::kAmps);
}

TEST(VoltsGuard, HoldsNothingBackUnlessBuilt) {
  VoltsGuard guard;
  EXPECT_EQ(guard.judge({}).factor, 1);
}

// 1.2 V may be lost. Node 2 is behind 0.5 ohm and another 0.5: white (2 A each, no idle) loses
// 1 + … = 2 A · 1 + 2 A · 0.5 = 3 V there, so 40 %; the first pixel alone loses 1 V and passes.
TEST(VoltsGuard, JudgesTheFrameThatIsSent) {
  Network network = one(0.5);
  network.ladder.links = {Ohms::of(0.5)};
  network.extra_chips = {0, 0};
  VoltsGuard guard{network, drawing(2), Volts::of(12), 3};
  EXPECT_NEAR(guard.least().value(), 10.8, 1e-12);
  const light::Colour white{255, 255, 255, 0};
  const std::vector<light::Colour> both{white, white};
  VoltsGuard::Verdict verdict = guard.judge(both);
  EXPECT_NEAR(verdict.factor, 0.4, 1e-8);
  EXPECT_EQ(verdict.pixel, 1U);
  EXPECT_NEAR(verdict.lowest.value(), 9, 1e-12);
  EXPECT_EQ(verdict.stretch, 1);
  const std::vector<light::Colour> first{white, light::kBlack};
  EXPECT_EQ(guard.judge(first).factor, 1);
  const std::vector<light::Colour> red{{255, 0, 0, 0}, {255, 0, 0, 0}};
  EXPECT_EQ(guard.judge(red).factor, 1);  // a third: 1 V
}

TEST(VoltsGuard, AgreesWithTheLevelLimit) {
  PowerDescription power;
  power.feeds = {lead_in(), tie_back()};
  const test::Wired window = slip_window();
  const Network network = network_of(window, power, 3);
  PixelPower pixel = drawing(0.6, 0.01);
  const std::vector<Consumer> all{{&network, &pixel}};
  const double limit = level_limit(all, 0, Volts::of(12), std::nullopt).level.share();
  VoltsGuard guard{network, pixel, Volts::of(12), 3};
  const std::vector<light::Colour> white(63, {255, 255, 255, 0});
  EXPECT_LT(limit, 0.9);
  EXPECT_NEAR(guard.judge(white).factor, limit, 1e-7);
}

// Constant power of 24 W at full behind 1 ohm. At 10.8 V that is 2.222 A; 1.2 V allow 1.2 A: 54 %,
// which is what the level limit finds too, since the least volts are where it stands.
TEST(VoltsGuard, TakesConstantPowerAtItsLeastVolts) {
  const Network network = one(1);
  const PixelPower pixel = drawing(2, 0, Draws::kConstantPower);
  VoltsGuard guard{network, pixel, Volts::of(12), 3};
  const std::vector<light::Colour> white(1, {255, 255, 255, 0});
  const VoltsGuard::Verdict verdict = guard.judge(white);
  EXPECT_NEAR(verdict.factor, 0.54, 1e-8);
  EXPECT_NEAR(verdict.stretch, 12 / 10.8, 1e-8);
}

TEST(VoltsGuard, GoesDarkWhereBlackIsTooMuch) {
  const Network network = one(2);
  VoltsGuard guard{network, drawing(2, 1), Volts::of(12), 3};
  const std::vector<light::Colour> dim(1, {1, 0, 0, 0});
  EXPECT_EQ(guard.judge(dim).factor, 0);
}

}  // namespace
}  // namespace panewalk::power
