#include "power/report.hpp"

#include <gtest/gtest.h>

#include "chains.hpp"

namespace panewalk::power {
namespace {

PixelPower pixel(double volts, double milliamps = 60) {
  PixelPower power;
  power.volts = Volts::of(volts);
  power.full_white = Amps::of(milliamps / 1000);
  return power;
}

Study study_of(const test::Wired& wired, PixelPower pixel, PowerDescription power = {}) {
  return {.frame = &wired.frame(),
          .map = &wired.map(),
          .pixel = pixel,
          .power = std::move(power),
          .nulls = 0,
          .source = pixel.volts,
          .supply = std::nullopt,
          .others = {}};
}

Report told(const Study& study) {
  auto made = report(study);
  EXPECT_TRUE(made.ok());
  return std::move(made).value();
}

// Blue dies at 3.4 V (WS2812B data sheet) and the driver needs 0.5 V; three LEDs of 3.2 V in series
// and as much: 10.1 V. Headroom and series are common practice, no source.
TEST(WarmBelow, GoesByTheVoltsOfThePixels) {
  EXPECT_EQ(warm_below(pixel(5)), Volts::of(3.9));
  EXPECT_EQ(warm_below(pixel(12)), Volts::of(10.1));
  EXPECT_EQ(warm_below(pixel(24)), Volts::of(20.0));
  PixelPower declared = pixel(12);
  declared.least_volts = Volts::of(8.5);
  EXPECT_EQ(warm_below(declared), Volts::of(8.5));
  PixelPower regulated = pixel(12);
  regulated.draws = Draws::kConstantPower;
  EXPECT_EQ(warm_below(regulated), std::nullopt);
}

// 200 px of 60 mA on 5 V, 50 mm apart in 18 AWG (2.095 mΩ a pitch): the drop at pixel k is
// 0.06 · 2.095e-3 · (k − 1)(200 − k / 2); it comes to 1.1 V between pixels 51 (1.0968) and
// 52 (1.1154).
TEST(Report, NamesThePixelWhereWhiteTurnsWarm) {
  const test::Wired line = row(200, 50);
  const Report report = told(study_of(line, pixel(5)));
  ASSERT_TRUE(report.warm_from.has_value());
  EXPECT_EQ(report.warm_from->value(), 52U);
  EXPECT_EQ(report.full->lowest, 199U);
  const test::Wired half = row(50, 50);
  EXPECT_EQ(told(study_of(half, pixel(5))).warm_from, std::nullopt);
}

TEST(Report, PutsAFuseOnEachLegNeverAboveItsWire) {
  const test::Wired line = row(100, 50);
  PowerDescription power;
  power.feeds = {lead_in(), tie_back(), injection("A-B/49", 2, 14)};
  const Report report = told(study_of(line, pixel(12), power));
  ASSERT_EQ(report.fuses.size(), 3U);
  EXPECT_EQ(report.fuses[0].leg, "lead-in");
  EXPECT_EQ(report.fuses[1].leg, "tie-back");
  EXPECT_EQ(report.fuses[2].leg, "A-B/49");
  // The injection is thick, but the prop's wire behind it is not.
  EXPECT_EQ(report.fuses[2].wire, awg(18));
  Amps all;
  for (const LegFuse& leg : report.fuses) {
    EXPECT_TRUE(leg.fuse.holds);
    EXPECT_LE(*leg.fuse.amps, Amps::of(5));
    EXPECT_GE(leg.fuse.amps->value(), 1.25 * leg.running.value());
    all += leg.running;
  }
  EXPECT_NEAR(all.value(), 6, 1e-9);
}

TEST(Report, SaysWhereNoFuseHolds) {
  const test::Wired line = row(100, 50);
  const Report report = told(study_of(line, pixel(12)));
  ASSERT_EQ(report.fuses.size(), 1U);
  EXPECT_EQ(report.fuses[0].fuse.amps, Amps::of(5));  // 6 A run
  EXPECT_FALSE(report.fuses[0].fuse.holds);
}

TEST(Report, FusesALeadThatSplitsByItself) {
  const test::Wired line = row(100, 50);
  PowerDescription power;
  power.lead = Lead{.wire = awg(14), .length = Millimetres::of(1000)};
  power.feeds = {lead_in(), tie_back()};
  const Report thick = told(study_of(line, pixel(12), power));
  ASSERT_EQ(thick.fuses.size(), 3U);
  EXPECT_EQ(thick.fuses[0].leg, "lead");
  EXPECT_EQ(thick.fuses[0].fuse.amps, Amps::of(7.5));  // 6 A run
  EXPECT_FALSE(thick.fuses[1].covered);
  const test::Wired less = row(50, 50);
  const Report thin = told(study_of(less, pixel(12), power));
  EXPECT_EQ(thin.fuses[0].fuse.amps, Amps::of(4));  // 3 A run
  EXPECT_TRUE(thin.fuses[1].covered);
  EXPECT_TRUE(thin.fuses[2].covered);
  power.feeds = {lead_in()};
  const Report alone = told(study_of(less, pixel(12), power));
  ASSERT_EQ(alone.fuses.size(), 1U);
  EXPECT_EQ(alone.fuses[0].leg, "lead-in");
  EXPECT_EQ(alone.fuses[0].wire, awg(18));
}

// 100 px: at the end i r (1 + … + 99) = 0.06 · 2.095e-3 · 4950 = 0.6222 V. A tie-back of the same
// length is one more way of 99 links: x = 4950 / 99 / 2 = 25 pixels' current goes that way, so the
// drop at the end is 25 · 99 · 0.06 · 2.095e-3 = 0.3111 V; the lowest lies where the chain's
// current turns round, 25 pixels before the end: 0.06 r (74 · 75 - 74 · 75 / 2) = 0.3488 V.
TEST(Report, SaysWhatAChangeWouldDo) {
  const test::Wired line = row(100, 50);
  const Report report = told(study_of(line, pixel(12)));
  ASSERT_EQ(report.alternatives.size(), 3U);
  EXPECT_NEAR(report.full->lowest_volts().value(), 12 - 0.6222, 2e-4);
  const Alternative& tie = report.alternatives[0];
  EXPECT_EQ(tie.kind, Alternative::Kind::kTieBack);
  EXPECT_NEAR(tie.length.value(), 4950, 1e-9);
  EXPECT_NEAR(tie.settles->volts.back().value(), 12 - 0.3111, 2e-4);
  EXPECT_NEAR(tie.settles->lowest_volts().value(), 12 - 0.3488, 2e-4);
  // At the last pixel an injection along the same way is a tie-back.
  const Alternative& more = report.alternatives[1];
  EXPECT_EQ(more.kind, Alternative::Kind::kInjection);
  EXPECT_EQ(more.pixel.value(), 100U);
  EXPECT_NEAR(more.settles->lowest_volts().value(), tie.settles->lowest_volts().value(), 1e-6);
  const Alternative& thick = report.alternatives[2];
  EXPECT_EQ(thick.kind, Alternative::Kind::kThickerWire);
  EXPECT_EQ(thick.wire, awg(16));
  // 13.17 to 20.95 ohms a km.
  EXPECT_NEAR(12 - thick.settles->lowest_volts().value(), 0.6222 * 13.17 / 20.95, 3e-4);
}

// 50 px, 12 V, 60 mA: 3 A run, so 5 A behind 18 AWG at least; 0.06 · r · 1225 loses 0.154 V.
TEST(Report, ChoosesTheThinnestWireThatIsEnough) {
  const test::Wired line = row(50, 50);
  const Report report = told(study_of(line, pixel(12)));
  ASSERT_EQ(report.wires.size(), 6U);
  EXPECT_EQ(report.wires[0].wire, awg(22));
  EXPECT_TRUE(report.wires[0].keeps_volts);
  EXPECT_FALSE(report.wires[0].fuses_hold);
  EXPECT_EQ(report.enough, awg(18));
  // 5 V lose 3 % of it at 18 AWG, and 200 px are beyond any wire from one end.
  const test::Wired long_line = row(200, 50);
  EXPECT_EQ(told(study_of(long_line, pixel(5))).enough, std::nullopt);
}

TEST(Report, ChoosesMetricWireForAMetricProp) {
  const test::Wired line = row(50, 50);
  PowerDescription power;
  power.wire = {Wire::SquareMillimetres{0.75}};
  const Report report = told(study_of(line, pixel(12), power));
  EXPECT_EQ(report.wires.front().wire, (Wire{Wire::SquareMillimetres{0.5}}));
  EXPECT_EQ(report.enough, (Wire{Wire::SquareMillimetres{1.0}}));
}

// NEC Chapter 9, Table 11(B): 5 A to 20 V, 100 VA to 30 V (from memory): 60 VA at 12 V.
TEST(Report, TellsClassTwoByVoltsAndAmps) {
  const test::Wired line = row(5, 50);
  Study study = study_of(line, pixel(12));
  EXPECT_FALSE(told(study).class_two.has_value());
  study.supply = Amps::of(5);
  EXPECT_TRUE(told(study).class_two->within);
  study.supply = Amps::of(8);
  EXPECT_FALSE(told(study).class_two->within);
  study.pixel = pixel(24);
  study.source = Volts::of(24);
  EXPECT_NEAR(told(study).class_two->most.value(), 4.1667, 1e-4);
}

TEST(Report, FindsTheContactThatExplainsAReading) {
  const test::Wired window = slip_window();
  PowerDescription power;
  power.contact = Ohms::of(0.012);
  const Report real = told(study_of(window, pixel(12), power));
  const Volts far = real.full->volts.back();
  power.contact = Ohms::of(0);
  power.measured = Measured{.ten_white = std::nullopt,
                            .ten_black = std::nullopt,
                            .near_volts = Volts::of(12),
                            .far_volts = far};
  const Report report = told(study_of(window, pixel(12), power));
  ASSERT_TRUE(report.compare.has_value());
  EXPECT_GT(report.compare->drop_measured, report.compare->drop_computed);
  ASSERT_TRUE(report.compare->contact.has_value());
  EXPECT_NEAR(report.compare->contact->value(), 0.012, 1e-6);
  // Three volts are no contact's.
  power.measured->far_volts = Volts::of(9);
  EXPECT_FALSE(told(study_of(window, pixel(12), power)).compare->contact.has_value());
  // A row has no splice to blame.
  const test::Wired line = row(50, 50);
  power.measured->far_volts = Volts::of(11.8);
  EXPECT_FALSE(told(study_of(line, pixel(12), power)).compare->contact.has_value());
}

TEST(Report, HelpsWhereTheChainCollapses) {
  const test::Wired line = row(400, 100);
  PixelPower regulated = pixel(12, 60);
  regulated.draws = Draws::kConstantPower;
  const Report report = told(study_of(line, regulated));
  EXPECT_FALSE(report.full.has_value());
  EXPECT_TRUE(report.fuses.empty());
  EXPECT_FALSE(report.alternatives.empty());
  EXPECT_GT(report.limit.level.share(), 0.01);
  EXPECT_LT(report.limit.level.share(), 1);
}

}  // namespace
}  // namespace panewalk::power
