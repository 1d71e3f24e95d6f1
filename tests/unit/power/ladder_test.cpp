#include "power/ladder.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <vector>

namespace panewalk::power {
namespace {

using Tap = Ladder::Tap;

std::vector<double> drops(const Ladder& ladder, std::vector<double> amps) {
  Factored{ladder}.solve(amps);
  return amps;
}

/// `nodes` in a row, `ohms` between neighbours; a tap of the same before the first, and after the
/// last where `both`.
Ladder even(std::size_t nodes, double ohms, bool both) {
  Ladder ladder{.links = std::vector<Ohms>(nodes - 1, Ohms::of(ohms)),
                .taps = {{.node = 0, .ohms = Ohms::of(ohms)}},
                .brace = std::nullopt};
  if (both) ladder.taps.push_back({.node = nodes - 1, .ohms = Ohms::of(ohms)});
  return ladder;
}

// electrician2.com, voltage drop lesson: 100 ft of 16 AWG stranded (4.99 ohms for 1000 ft, NEC
// Chapter 9 Table 8), 4 A, two wires: 4.0 V.
TEST(Ladder, DropsFourVoltsOverAHundredFeetOf16Awg) {
  const Ladder ladder{.links = {},
                      .taps = {{.node = 0, .ohms = Ohms::of(2 * 100 * 4.99 / 1000)}},
                      .brace = std::nullopt};
  EXPECT_NEAR(drops(ladder, {4})[0], 3.992, 1e-12);
}

// V. K. Mehta and R. Mehta, Principles of Power System, D.C. Distribution, Ex. 13.1: 0.02 ohm a
// 1000 m of distributor, 300 V; 100 A at 500 m, 150 A at 1000 m, 200 A at 1600 m, 50 A at 2000 m.
TEST(Ladder, SolvesTheDistributorWithFourLoads) {
  const Ladder ladder{.links = {Ohms::of(0.010), Ohms::of(0.012), Ohms::of(0.008)},
                      .taps = {{.node = 0, .ohms = Ohms::of(0.010)}},
                      .brace = std::nullopt};
  const auto low = drops(ladder, {100, 150, 200, 50});
  EXPECT_NEAR(300 - low[0], 295.0, 1e-9);
  EXPECT_NEAR(300 - low[1], 291.0, 1e-9);
  EXPECT_NEAR(300 - low[2], 288.0, 1e-9);
  EXPECT_NEAR(300 - low[3], 287.6, 1e-9);
}

// The same book, Ex. 13.14: 1000 m, 0.5 A a metre, 0.05 ohm a km of each conductor, fed at both
// ends with 220 V: 6.25 V lost, 213.75 V in the middle. A load every metre gives it exactly.
TEST(Ladder, SolvesTheDistributorFedAtBothEnds) {
  const auto low = drops(even(999, 0.0001, true), std::vector<double>(999, 0.5));
  EXPECT_NEAR(low[499], 6.25, 1e-9);  // at 500 m
  EXPECT_NEAR(220 - low[499], 213.75, 1e-9);
}

// Ex. 13.15: 500 m, 1 A a metre, 0.1 ohm a km each, 255 V and 250 V: 246 V at 300 m from A, and A
// gives 300 A. Five volts less at B act like 5 V through its tap, drawn at the last node.
TEST(Ladder, SolvesTheDistributorFedUnequally) {
  std::vector<double> amps(499, 1.0);
  amps.back() += 5 / 0.0002;
  const auto low = drops(even(499, 0.0002, true), amps);
  const auto lowest = std::max_element(low.begin(), low.end());
  EXPECT_EQ(lowest - low.begin() + 1, 300);
  EXPECT_NEAR(255 - *lowest, 246, 1e-6);
  EXPECT_NEAR(low.front() / 0.0002, 299.5, 1e-3);  // A's 300 A, less half a metre's load
}

// Problem of the same chapter: 800 m, 1.25 A a metre, 0.05 ohm a km each, least 220 V at 450 m:
// V_A 232.66, V_B 227.66 V.
TEST(Ladder, SolvesTheDistributorWithItsLeastVoltsGiven) {
  std::vector<double> amps(799, 1.25);
  amps.back() += (232.65625 - 227.65625) / 0.0001;
  const auto low = drops(even(799, 0.0001, true), amps);
  const auto lowest = std::max_element(low.begin(), low.end());
  EXPECT_EQ(lowest - low.begin() + 1, 450);
  EXPECT_NEAR(232.66 - *lowest, 220, 0.005);
}

// Problem: 200 m fed at one end, 2 A a metre, 0.3 ohm a km each wire: 22.5 V lost at 150 m, 24 V at
// the end. Half a load at the end makes the sum the integral.
TEST(Ladder, SolvesTheDistributorFedAtOneEnd) {
  std::vector<double> amps(200, 2.0);
  amps.back() = 1.0;
  const auto low = drops(even(200, 0.0006, false), amps);
  EXPECT_NEAR(low[149], 22.5, 1e-9);
  EXPECT_NEAR(low[199], 24.0, 1e-9);
}

// N loads of i, r between: i r N (N + 1) / 2 at the end, derived by summing the currents.
TEST(Ladder, LosesTheTriangleSumFromOneEnd) {
  for (const std::size_t n : {1U, 2U, 3U, 50U, 200U}) {
    const auto low = drops(even(n, 0.003, false), std::vector<double>(n, 0.06));
    const double count = static_cast<double>(n);
    EXPECT_NEAR(low.back(), 0.06 * 0.003 * count * (count + 1) / 2, 1e-12) << n;
  }
}

// Both ends, one pitch outside each: i r (N + 1)² / 8 for odd N, i r N (N + 2) / 8 for even N.
TEST(Ladder, LosesAQuarterOfItFromBothEnds) {
  const auto most = [](std::size_t n) {
    const auto low = drops(even(n, 0.003, true), std::vector<double>(n, 0.06));
    return *std::max_element(low.begin(), low.end());
  };
  EXPECT_NEAR(most(1), 0.06 * 0.003 * 4 / 8, 1e-12);
  EXPECT_NEAR(most(2), 0.06 * 0.003 * 8 / 8, 1e-12);
  EXPECT_NEAR(most(51), 0.06 * 0.003 * 52 * 52 / 8, 1e-12);
  EXPECT_NEAR(most(200), 0.06 * 0.003 * 200 * 202 / 8, 1e-12);
}

// Two ways of 2 ohms in parallel to the far end of a lead of 1 ohm: 3 A there lose 3 V in the lead
// and 3 V in the pair.
TEST(Ladder, BracesTheFirstAndTheLastNode) {
  const Ladder two{
      .links = {Ohms::of(2)}, .taps = {{.node = 0, .ohms = Ohms::of(1)}}, .brace = Ohms::of(2)};
  const auto of_two = drops(two, {0, 3});
  EXPECT_NEAR(of_two[0], 3, 1e-12);
  EXPECT_NEAR(of_two[1], 6, 1e-12);
  // 1 + 1 ohms the one way, 2 the other; halfway along the first the drop is half as much.
  const Ladder three{.links = {Ohms::of(1), Ohms::of(1)},
                     .taps = {{.node = 0, .ohms = Ohms::of(1)}},
                     .brace = Ohms::of(2)};
  const auto of_three = drops(three, {0, 0, 3});
  EXPECT_NEAR(of_three[0], 3, 1e-12);
  EXPECT_NEAR(of_three[1], 4.5, 1e-12);
  EXPECT_NEAR(of_three[2], 6, 1e-12);
}

TEST(Ladder, TakesNoLengthForNoDrop) {
  const Ladder ladder{.links = {Ohms::of(0), Ohms::of(0.01)},
                      .taps = {{.node = 0, .ohms = Ohms::of(0)}},
                      .brace = std::nullopt};
  const auto low = drops(ladder, {1, 1, 1});
  EXPECT_NEAR(low[0], 0, 1e-8);
  EXPECT_NEAR(low[1], 0, 1e-8);
  EXPECT_NEAR(low[2], 0.01, 1e-8);
}

TEST(Factored, RefusesALoadThatGrowsFasterThanTheWireLets) {
  Factored factored{even(1, 1, false)};
  const std::vector<double> weak{0.9};
  const std::vector<double> strong{1.1};
  EXPECT_TRUE(factored.refactor(weak));
  std::vector<double> one{1};
  factored.solve(one);
  EXPECT_NEAR(one[0], 10, 1e-9);  // 1 A through 1 − 0.9 S
  EXPECT_FALSE(factored.refactor(strong));
}

}  // namespace
}  // namespace panewalk::power
