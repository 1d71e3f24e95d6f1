#include "power/network.hpp"

#include <gtest/gtest.h>

#include "chains.hpp"
#include "power/solution.hpp"

namespace panewalk::power {
namespace {

PixelPower pixel(double milliamps, double volts = 5) {
  PixelPower power;
  power.volts = Volts::of(volts);
  power.full_white = Amps::of(milliamps / 1000);
  return power;
}

Solution white(const Network& network, const PixelPower& power) {
  auto settled = solve_white(network, power, power.volts, light::Level::of(1));
  EXPECT_TRUE(settled.has_value());
  return std::move(*settled);
}

constexpr double kOhmsPerMetre18 = 0.02095;  // one conductor at 20 °C, AWG tables

// 50 pixels of 60 mA, 3 in apart in 18 AWG, the supply one pitch before pixel 1: 0.244 V
// (i r N (N + 1) / 2 with r = 3.1924 mΩ); 100 pixels 0.967 V.
TEST(Network, LosesAQuarterVoltOverFiftyPixels) {
  PowerDescription power;
  power.lead = Lead{.wire = awg(18), .length = Millimetres::of(76.2)};
  EXPECT_NEAR(white(network_of(row(50, 76.2), power), pixel(60)).lowest_volts().value(), 5 - 0.2442,
              5e-4);
  EXPECT_NEAR(white(network_of(row(100, 76.2), power), pixel(60)).lowest_volts().value(),
              5 - 0.9673, 5e-4);
}

// The same, 20 AWG and 4 in: 4.482 V at the end of 5 V.
TEST(Network, LosesHalfAVoltInThinnerWire) {
  PowerDescription power;
  power.wire = awg(20);
  power.lead = Lead{.wire = awg(20), .length = Millimetres::of(101.6)};
  const Solution solution = white(network_of(row(50, 101.6), power), pixel(60));
  EXPECT_NEAR(solution.lowest_volts().value(), 4.482, 1e-3);
  EXPECT_EQ(solution.lowest, 49U);
}

// A ring of wire: an injection one pitch long at the last pixel is the second end of K15's form.
// 50 px: 0.0623 V; 20 AWG and 4 in: 4.868 V of 5 V.
TEST(Network, LosesAQuarterOfThatFedFromBothEnds) {
  PowerDescription power;
  power.lead = Lead{.wire = awg(18), .length = Millimetres::of(76.2)};
  power.feeds = {lead_in(), injection("B", 0.0762)};
  EXPECT_NEAR(white(network_of(row(50, 76.2), power), pixel(60)).lowest_volts().value(), 5 - 0.0623,
              2e-4);
  power.wire = awg(20);
  power.lead = Lead{.wire = awg(20), .length = Millimetres::of(101.6)};
  power.feeds = {lead_in(), injection("B", 0.1016, 20)};
  EXPECT_NEAR(white(network_of(row(50, 101.6), power), pixel(60)).lowest_volts().value(), 4.868,
              1e-3);
}

TEST(Network, PutsTheSupplyAtPixelOneWithoutALead) {
  const Solution solution = white(network_of(row(10, 100), {}), pixel(60));
  EXPECT_NEAR(solution.volts.front().value(), 5, 1e-6);
  // Nine links; the first carries nine pixels: i r (1 + 2 + … + 9).
  EXPECT_NEAR(solution.volts.back().value(), 5 - 0.06 * 2 * 0.1 * kOhmsPerMetre18 * 45, 1e-4);
}

// By the drawing: jumps of 420 and 810 mm, a hop of 180 mm, neighbours 60 or 90 mm apart; the
// tie-back from A3 (0, 1020) to the last pixel, B2-C2/4 (810, 510), is 510 mm and 810 mm.
TEST(Network, MeasuresTheSlipWindow) {
  PowerDescription power;
  power.contact = Ohms::of(0.004);
  power.feeds = {lead_in(), tie_back(), injection("B1", 2)};
  const Network network = network_of(slip_window(), power, 2);
  ASSERT_EQ(network.pixels(), 63U);
  const auto metres = [&network](std::size_t pixel) {
    return network.ladder.links[pixel - 1].value() / (2 * kOhmsPerMetre18);
  };
  const double contact = 0.004 / (2 * kOhmsPerMetre18);
  EXPECT_NEAR(metres(1), 0.060, 1e-4);
  EXPECT_NEAR(metres(2), 0.090, 1e-4);
  EXPECT_NEAR(metres(44), 0.420 + contact, 2e-4);
  EXPECT_NEAR(metres(55), 0.810 + contact, 2e-4);
  EXPECT_NEAR(metres(59), 0.180 + contact, 2e-4);
  ASSERT_EQ(network.legs.size(), 3U);
  EXPECT_EQ(network.legs[0].at, "lead-in");
  EXPECT_EQ(network.legs[1].at, "tie-back");
  EXPECT_EQ(network.legs[1].node, 62U);
  EXPECT_NEAR(network.legs[1].length.value(), 1320, 1e-9);
  EXPECT_EQ(network.legs[2].at, "B1");
  EXPECT_EQ(network.legs[2].node, 17U);
  EXPECT_EQ(network.legs[2].length.value(), 2000);
  EXPECT_EQ(network.extra_chips.front(), 2);
}

TEST(Network, SeatsSparesAndNullsAtTheirNeighbours) {
  const Network network = network_of(row(5, 50, {{3, 2}}), {}, 1);
  EXPECT_EQ(network.extra_chips, (std::vector<int>{1, 0, 2, 0, 0}));
  const Solution solution = white(network, pixel(60));
  // 5 x 60 mA and three chips at 1 mA that are none of the pixels'.
  EXPECT_NEAR(solution.total.value(), 0.303, 1e-12);
  EXPECT_NEAR(solution.amps[2].value(), 0.060, 1e-12);
}

// 10 pixels of 100 mA, lead 2 m of 16 AWG. Kirchhoff: the lead carries all, the tie-back and the
// lead-in share it.
TEST(Network, TakesTheTieBackFromTheEndOfTheLead) {
  PowerDescription power;
  power.lead = Lead{.wire = awg(16), .length = Millimetres::of(2000)};
  power.feeds = {lead_in(), tie_back()};
  const Network network = network_of(row(10, 200), power);
  const Solution solution = white(network, pixel(100));
  EXPECT_NEAR(solution.lead.value(), 1.0, 1e-9);
  EXPECT_NEAR(solution.legs[0].value() + solution.legs[1].value(), 1.0, 1e-9);
  // 13.17 ohms a km, 4 m of conductor, 1 A.
  EXPECT_NEAR(solution.volts.front().value(), 5 - 0.05268, 1e-4);
  // The tie-back is as long as the row: pixel 10 gets a tenth of the way's sum, (1 + … + 9) / 18
  // pixels' current by it, so 0.25 A.
  EXPECT_NEAR(solution.legs[1].value(), 0.25, 1e-9);
}

TEST(Network, FeedsFromTheFarEndAlone) {
  PowerDescription power;
  power.feeds = {tie_back()};
  power.lead = Lead{.wire = awg(18), .length = Millimetres::of(1000)};
  const Network network = network_of(row(3, 500), power);
  const Solution solution = white(network, pixel(100));
  EXPECT_EQ(solution.lowest, 0U);
  EXPECT_NEAR(solution.lead.value(), 0.3, 1e-9);
  // 2 m of pair at 0.3 A to the last pixel.
  EXPECT_NEAR(solution.volts.back().value(), 5 - 0.3 * 4 * kOhmsPerMetre18, 1e-4);
}

TEST(Network, RefusesAnInjectionAtNoStation) {
  PowerDescription power;
  power.feeds = {lead_in(), injection("B22", 1), injection("B2", 1)};
  const test::Wired window = slip_window();
  const auto built = build(window.frame(), window.map(), power, 0);
  ASSERT_FALSE(built.ok());
  EXPECT_EQ(test::lines(built.error()),
            "/power/feeds/1/at: no joint or station is named \"B22\"; allowed: \"A1\", "
            "\"B1\", \"C1\", \"A2\", \"B2\", \"C2\", \"A3\", \"B3\" or \"C3\"\n");
}

TEST(Network, RefusesAnInjectionWhereNoPixelIs) {
  const test::Wired wired{
      test::frame_of({test::section(
          prop::LineShape{.from = test::at(0, 0), .to = test::at(400, 0), .stations = 5}, {"A"})}),
      test::route({"A B"})};
  PowerDescription power;
  power.feeds = {injection("A", 1)};
  const auto built = build(wired.frame(), wired.map(), power, 0);
  ASSERT_FALSE(built.ok());
  EXPECT_EQ(test::lines(built.error()),
            "/power/feeds/0/at: \"A\" has no pixel; the station of a pixel: power comes in where a "
            "pixel is\n");
}

TEST(Network, HoldsForASinglePixel) {
  PowerDescription power;
  power.feeds = {lead_in(), tie_back()};
  power.lead = Lead{.wire = awg(18), .length = Millimetres::of(1000)};
  const test::Wired one{test::frame_of(prop::PointsShape{.points = {test::at(0, 0)}}), {}};
  const Solution solution = white(network_of(one, power), pixel(60));
  EXPECT_NEAR(solution.total.value(), 0.06, 1e-12);
  EXPECT_NEAR(solution.volts[0].value(), 5 - 0.06 * 2 * kOhmsPerMetre18, 1e-5);
}

}  // namespace
}  // namespace panewalk::power
