#include "power/wire.hpp"

#include <gtest/gtest.h>

#include <string>

namespace panewalk::power {
namespace {

Wire awg(int gauge) { return {Wire::Awg{gauge}}; }
Wire mm2(double area) { return {Wire::SquareMillimetres{area}}; }
constexpr Celsius kRoom = Celsius::of(20);

// ASTM B258-02: the diameter of gauge n is 0.127 mm × 92^((36 − n) / 39). Areas and ohms a km of
// solid copper at 20 °C as public AWG tables print them.
TEST(Wire, HasTheAreaAndResistanceOfTheAwgTables) {
  struct Row {
    int gauge;
    double area, ohms_per_km;
  };
  for (const Row& row :
       {Row{12, 3.309, 5.211}, Row{14, 2.081, 8.285}, Row{16, 1.309, 13.17}, Row{18, 0.823, 20.95},
        Row{20, 0.518, 33.31}, Row{22, 0.326, 52.96}, Row{24, 0.205, 84.21}}) {
    EXPECT_NEAR(square_millimetres(awg(row.gauge)), row.area, 0.0006) << row.gauge;
    EXPECT_NEAR(1000 * ohms_per_metre(awg(row.gauge), kRoom), row.ohms_per_km,
                row.ohms_per_km * 0.0004)
        << row.gauge;
  }
}

// NEC Chapter 9, Table 8, uncoated solid copper at 75 °C, ohms for 1000 ft: 18 AWG 7.77,
// 16 AWG 4.89, 14 AWG 3.07, 12 AWG 1.93. Three figures each.
TEST(Wire, IsAsWarmAsTheNecTable) {
  constexpr double kFoot = 0.3048;
  const auto per_kft = [](int gauge) {
    return 1000 * kFoot * ohms_per_metre(awg(gauge), Celsius::of(75));
  };
  EXPECT_NEAR(per_kft(18), 7.77, 0.01);
  EXPECT_NEAR(per_kft(16), 4.89, 0.01);
  EXPECT_NEAR(per_kft(14), 3.07, 0.005);
  EXPECT_NEAR(per_kft(12), 1.93, 0.005);
}

// Copper changes by 0.393 % a degree: 7.9 % between 20 and 0 or 40 °C.
TEST(Wire, LosesResistanceInTheCold) {
  EXPECT_NEAR(ohms_per_metre(awg(18), Celsius::of(0)) / ohms_per_metre(awg(18), kRoom), 0.9214,
              1e-9);
  EXPECT_NEAR(ohms_per_metre(awg(18), Celsius::of(40)) / ohms_per_metre(awg(18), kRoom), 1.0786,
              1e-9);
}

// 17.241 ohm mm² a km (IACS): 1 mm² has 17.24 ohms a km, 0.75 mm² 22.99.
TEST(Wire, TakesSquareMillimetresAtTheirWord) {
  EXPECT_NEAR(1000 * ohms_per_metre(mm2(1), kRoom), 17.241, 1e-9);
  EXPECT_NEAR(1000 * ohms_per_metre(mm2(0.75), kRoom), 22.988, 1e-9);
}

// 18 AWG over 3 in: 3.1924 mΩ out and back; 20 AWG over 4 in: 6.768 mΩ.
TEST(Wire, CountsBothConductors) {
  EXPECT_NEAR(loop_ohms(awg(18), Millimetres::of(76.2), kRoom).value(), 3.1924e-3, 2e-7);
  EXPECT_NEAR(loop_ohms(awg(20), Millimetres::of(101.6), kRoom).value(), 6.7682e-3, 1e-6);
  EXPECT_EQ(loop_ohms(awg(18), Millimetres::of(0), kRoom).value(), 0);
}

TEST(Wire, StepsThroughTheSizesOfTheShops) {
  EXPECT_EQ(thicker(awg(18)), awg(16));
  EXPECT_EQ(thicker(awg(19)), awg(18));
  EXPECT_EQ(thicker(awg(8)), std::nullopt);
  EXPECT_EQ(thinner(awg(18)), awg(20));
  EXPECT_EQ(thinner(awg(22)), std::nullopt);
  EXPECT_EQ(thicker(mm2(0.75)), mm2(1));
  EXPECT_EQ(thicker(mm2(0.8)), mm2(1));
  EXPECT_EQ(thicker(mm2(16)), std::nullopt);
  EXPECT_EQ(thinner(mm2(0.75)), mm2(0.5));
  EXPECT_EQ(thinner(mm2(0.5)), std::nullopt);
}

// NEC 240.4(D): 12 AWG 20 A, 14 AWG 15 A; 16 AWG 10 A (from memory). 18, 20 and 22 AWG: 5, 3 and
// 2 A, common practice, no source.
TEST(Fuse, IsNeverAboveTheWire) {
  EXPECT_EQ(most_fuse(awg(10)), Amps::of(20));
  EXPECT_EQ(most_fuse(awg(12)), Amps::of(20));
  EXPECT_EQ(most_fuse(awg(14)), Amps::of(15));
  EXPECT_EQ(most_fuse(awg(16)), Amps::of(10));
  EXPECT_EQ(most_fuse(awg(18)), Amps::of(5));
  EXPECT_EQ(most_fuse(awg(20)), Amps::of(3));
  EXPECT_EQ(most_fuse(awg(22)), Amps::of(2));
  EXPECT_EQ(most_fuse(awg(24)), std::nullopt);
}

// 0.75 mm² is thinner than 18 AWG (0.823 mm²), 1.5 mm² thicker than 16 AWG (1.309 mm²).
TEST(Fuse, TakesAMetricWireForTheGaugeBelowIt) {
  EXPECT_EQ(most_fuse(mm2(0.75)), Amps::of(3));
  EXPECT_EQ(most_fuse(mm2(1.0)), Amps::of(5));
  EXPECT_EQ(most_fuse(mm2(1.5)), Amps::of(10));
  EXPECT_EQ(most_fuse(mm2(0.25)), std::nullopt);
  EXPECT_EQ(most_fuse(awg(17)), Amps::of(5));
}

// Rating at least 1.25 times the running current. A 5 A fuse runs 4 A.
TEST(Fuse, LeavesAQuarterAboveTheRunningCurrent) {
  EXPECT_EQ(fuse_for(awg(18), Amps::of(4.0)).amps, Amps::of(5));
  EXPECT_TRUE(fuse_for(awg(18), Amps::of(4.0)).holds);
  EXPECT_EQ(fuse_for(awg(18), Amps::of(1.42)).amps, Amps::of(2));
  EXPECT_EQ(fuse_for(awg(16), Amps::of(4.1)).amps, Amps::of(7.5));
  EXPECT_EQ(fuse_for(awg(18), Amps::of(0)).amps, Amps::of(2));
}

TEST(Fuse, ProtectsTheWireWhereBothCantHold) {
  const Fuse fuse = fuse_for(awg(18), Amps::of(4.1));
  EXPECT_EQ(fuse.amps, Amps::of(5));
  EXPECT_FALSE(fuse.holds);
  EXPECT_EQ(fuse_for(awg(24), Amps::of(0.1)).amps, std::nullopt);
  EXPECT_FALSE(fuse_for(awg(24), Amps::of(0.1)).holds);
  EXPECT_FALSE(fuse_for(awg(4), Amps::of(17)).holds);
}

}  // namespace
}  // namespace panewalk::power
