#include "power/solution.hpp"

#include <gtest/gtest.h>

#include "chains.hpp"

namespace panewalk::power {
namespace {

/// Nodes in a row behind one tap, without wire sizes.
Network bare(std::size_t nodes, double tap_ohms, double link_ohms) {
  Network network;
  network.ladder = {.links = std::vector<Ohms>(nodes - 1, Ohms::of(link_ohms)),
                    .taps = {{.node = 0, .ohms = Ohms::of(tap_ohms)}},
                    .brace = std::nullopt};
  network.legs = {{.kind = Feed::Kind::kLeadIn,
                   .at = "lead-in",
                   .node = 0,
                   .wire = {},
                   .length = {},
                   .ohms = Ohms::of(tap_ohms)}};
  network.extra_chips.resize(nodes);
  return network;
}

PixelPower drawing(double amps, double volts, Draws draws = Draws::kConstantCurrent) {
  return {.volts = Volts::of(volts),
          .full_white = Amps::of(amps),
          .idle = Amps::of(0),
          .draws = draws,
          .least_volts = std::nullopt};
}

// D.C. distributor fed at one end, problem: 300 m, 0.75 A a metre, 0.00018 ohm a metre go and
// return, 250 V: 244.6 V at 200 m, loss i² r l³ / 3 = 911.25 W. Half a load at the end makes the
// sums those of the integral (the loss to 1 / 4 N²).
TEST(Solution, LosesTheWattsOfTheDistributor) {
  const Network network = bare(300, 0.00018, 0.00018);
  std::vector<double> shares(300, 1.0);
  shares.back() = 0.5;
  const auto solution = solve(network, drawing(0.75, 250), Volts::of(250), shares);
  ASSERT_TRUE(solution.has_value());
  EXPECT_NEAR(solution->volts[199].value(), 244.6, 1e-9);
  EXPECT_NEAR(solution->wire.value(), 911.25, 0.004);
}

// Fed at both ends 1.35 V at 200 m and i² r l³ / 12 = 227.81 W.
TEST(Solution, LosesAQuarterOfThemFedAtBothEnds) {
  Network network = bare(299, 0.00018, 0.00018);
  network.ladder.taps.push_back({.node = 298, .ohms = Ohms::of(0.00018)});
  network.legs.push_back({.kind = Feed::Kind::kTieBack,
                          .at = "tie-back",
                          .node = 298,
                          .wire = {},
                          .length = {},
                          .ohms = Ohms::of(0.00018)});
  const std::vector<double> shares(299, 1.0);
  const auto solution = solve(network, drawing(0.75, 250), Volts::of(250), shares);
  ASSERT_TRUE(solution.has_value());
  EXPECT_NEAR(250 - solution->volts[199].value(), 1.35, 1e-9);
  EXPECT_NEAR(solution->wire.value(), 227.81, 0.01);
  EXPECT_NEAR(solution->legs[0].value(), solution->legs[1].value(), 1e-6);
}

// One load of 27 W behind 1 ohm on 12 V: V² − 12 V + 27 = 0, so 9 V and 3 A; 9 W stay in the wire.
TEST(Solution, FindsWhereConstantPowerSettles) {
  const auto solution = solve_white(bare(1, 1, 1), drawing(2.25, 12, Draws::kConstantPower),
                                    Volts::of(12), light::Level::of(1));
  ASSERT_TRUE(solution.has_value());
  EXPECT_NEAR(solution->volts[0].value(), 9, 1e-9);
  EXPECT_NEAR(solution->amps[0].value(), 3, 1e-9);
  EXPECT_NEAR(solution->chips.value(), 27, 1e-9);
  EXPECT_NEAR(solution->wire.value(), 9, 1e-9);
  EXPECT_NEAR(solution->given.value(), 36, 1e-9);
}

// 36 W is the most that 12 V can give through 1 ohm (V² / 4 R); what asks for more collapses.
TEST(Solution, CollapsesWhereThePowerCantBeCarried) {
  const auto at = [](double watts) {
    return solve_white(bare(1, 1, 1), drawing(watts / 12, 12, Draws::kConstantPower), Volts::of(12),
                       light::Level::of(1));
  };
  EXPECT_NEAR(at(35.99)->volts[0].value(), 6.1, 1e-6);  // 6 + √(36 − 35.99)
  EXPECT_FALSE(at(36.01).has_value());
  EXPECT_FALSE(at(1000).has_value());
}

TEST(Solution, DrawsTheSameCurrentWhateverTheVolts) {
  const auto solution =
      solve_white(bare(3, 0.1, 0.1), drawing(1, 12), Volts::of(12), light::Level::of(0.5));
  ASSERT_TRUE(solution.has_value());
  for (const Amps amps : solution->amps) EXPECT_NEAR(amps.value(), 0.5, 1e-12);
  EXPECT_NEAR(solution->total.value(), 1.5, 1e-12);
  EXPECT_EQ(solution->lowest, 2U);
  EXPECT_NEAR(solution->lowest_volts().value(), 12 - 0.15 - 0.10 - 0.05, 1e-12);
}

TEST(Solution, DrawsIdleAtBlack) {
  PixelPower pixel = drawing(0.045, 12);
  pixel.idle = Amps::of(0.001);
  const auto solution = solve_white(bare(63, 0, 0.004), pixel, Volts::of(12), light::Level::of(0));
  EXPECT_NEAR(solution->total.value(), 0.063, 1e-12);
}

TEST(ShareOf, IsTheMeanOfTheChannels) {
  EXPECT_DOUBLE_EQ(share_of({255, 255, 255, 0}, 3), 1);
  EXPECT_DOUBLE_EQ(share_of({0, 255, 0, 255}, 3), 1.0 / 3);
  EXPECT_DOUBLE_EQ(share_of({0, 255, 0, 255}, 4), 0.5);
}

// A drop of 10 % fails: common practice, no source.
TEST(LeastVolts, AreTenPerCentUnderTheSupplyUnlessDeclared) {
  PixelPower pixel = drawing(0.06, 12);
  EXPECT_NEAR(least_volts(pixel, Volts::of(12)).value(), 10.8, 1e-12);
  EXPECT_NEAR(least_volts(pixel, Volts::of(12.5)).value(), 11.25, 1e-12);
  pixel.least_volts = Volts::of(9);
  EXPECT_EQ(least_volts(pixel, Volts::of(12)), Volts::of(9));
}

}  // namespace
}  // namespace panewalk::power
