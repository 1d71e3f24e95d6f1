#include "power/load.hpp"

#include <gtest/gtest.h>

#include <vector>

namespace panewalk::power {
namespace {

using light::Colour;

constexpr Colour kWhite{255, 255, 255, 0};

PixelPower measured_pixel() {  // 45 mA at full white, 1 mA at black
  PixelPower power;
  power.full_white = Amps::of(0.045);
  power.idle = Amps::of(0.001);
  return power;
}

TEST(Load, IsIdleForAChainLitBlack) {
  // 63 pixels and 2 nulls at 1 mA.
  const std::vector<Colour> black(63);
  const PropLoad load = load_of(black, 65, 3, measured_pixel());
  EXPECT_DOUBLE_EQ(load.idle.value(), 0.065);
  EXPECT_DOUBLE_EQ(load.lit.value(), 0);
}

TEST(Load, OfAWindowAtFullWhiteIsItsPixelsTimesFullWhite) {
  // 63 x 45 mA = 2.835 A.
  const std::vector<Colour> white(63, kWhite);
  EXPECT_NEAR(load_of(white, 63, 3, measured_pixel()).total().value(), 2.835, 1e-12);
  EXPECT_NEAR(full_load(63, 63, measured_pixel()).total().value(), 2.835, 1e-12);
}

TEST(Load, CountsNullsAndSparesAsIdleOnly) {
  // 63 x 44 mA above idle, 66 chips at 1 mA: 2.772 + 0.066 A.
  EXPECT_NEAR(full_load(63, 66, measured_pixel()).total().value(), 2.838, 1e-12);
}

TEST(Load, OfOneColourIsAThirdOfWhatWhiteAdds) {
  // 10 x (1 + 44 / 3) mA = 156.67 mA.
  const std::vector<Colour> green(10, Colour{0, 255, 0, 0});
  EXPECT_NEAR(load_of(green, 10, 3, measured_pixel()).total().value(), 0.1566667, 1e-7);
}

TEST(Load, OfFourChannelsIsFullWithEveryChannelOn) {
  PixelPower power;
  power.full_white = Amps::of(0.080);
  power.idle = Amps::of(0.001);
  // White alone is a quarter: 10 x (1 + 79 / 4) mA = 207.5 mA; all four on 800 mA.
  const std::vector<Colour> white_chip(10, Colour{0, 0, 0, 255});
  const std::vector<Colour> all(10, Colour{255, 255, 255, 255});
  EXPECT_NEAR(load_of(white_chip, 10, 4, power).total().value(), 0.2075, 1e-12);
  EXPECT_NEAR(load_of(all, 10, 4, power).total().value(), 0.8, 1e-12);
}

TEST(Load, IgnoresWhiteWhereThereIsNoWhiteChip) {
  const std::vector<Colour> white_chip(10, Colour{0, 0, 0, 255});
  EXPECT_DOUBLE_EQ(load_of(white_chip, 10, 3, measured_pixel()).lit.value(), 0);
}

TEST(Load, IsConservativeWithTheDefaultFigures) {
  // 100 pixels at the design figure of 60 mA: 6 A (common practice, no source).
  EXPECT_NEAR(full_load(100, 100, PixelPower{}).total().value(), 6.0, 1e-12);
}

TEST(LoadLimit, LeavesAloneWhatFits) {
  const std::vector<PropLoad> loads{full_load(63, 63, measured_pixel())};
  const LoadLimit limit = limit_load(loads, Amps::of(5));
  EXPECT_NEAR(limit.asked.value(), 2.835, 1e-12);
  EXPECT_EQ(limit.supply, Amps::of(5));
  EXPECT_EQ(limit.factor, 1);
  EXPECT_FALSE(limit.holds_back());
}

TEST(LoadLimit, ScalesTheLightOfAllPropsOfTheSupply) {
  // Two windows: idle 0.126 A, light 5.544 A. (4 - 0.126) / 5.544 = 0.69877.
  const PropLoad window = full_load(63, 63, measured_pixel());
  const std::vector<PropLoad> loads{window, window};
  const LoadLimit limit = limit_load(loads, Amps::of(4));
  EXPECT_NEAR(limit.asked.value(), 5.67, 1e-12);
  EXPECT_NEAR(limit.factor, 0.6987734, 1e-7);
  EXPECT_TRUE(limit.holds_back());
}

TEST(LoadLimit, UsesTheNameplateToTheLastAmp) {
  const std::vector<PropLoad> loads{{Amps::of(0.5), Amps::of(1.5)}};
  EXPECT_EQ(limit_load(loads, Amps::of(2)).factor, 1);
  EXPECT_LT(limit_load(loads, Amps::of(1.999)).factor, 1);
}

TEST(LoadLimit, LetsNothingThroughWhereIdleAloneIsTooMuch) {
  // 500 pixels at 2 mA idle are 1 A while off.
  const std::vector<PropLoad> loads{{Amps::of(1.0), Amps::of(3)}};
  EXPECT_EQ(limit_load(loads, Amps::of(0.9)).factor, 0);
  EXPECT_EQ(limit_load(loads, Amps::of(1.0)).factor, 0);
  EXPECT_EQ(level_limit(loads, Amps::of(0.9)), light::Level::of(0));
}

TEST(LoadLimit, IsNoneForASupplyWithoutProps) { EXPECT_EQ(limit_load({}, Amps::of(1)).factor, 1); }

TEST(HeldDown, NeverRoundsUp) {
  EXPECT_EQ(held_down({255, 3, 1, 100}, 0.5), (Colour{127, 1, 0, 50}));
  EXPECT_EQ(held_down({255, 3, 1, 100}, 1), (Colour{255, 3, 1, 100}));
  EXPECT_EQ(held_down({255, 3, 1, 100}, 0), light::kBlack);
}

TEST(HeldDown, KeepsTheCurrentOfAnEvenPictureWithinTheSupply) {
  std::vector<Colour> picture;
  for (int i = 0; i < 63; ++i) {
    picture.push_back({static_cast<std::uint8_t>(255 - i), static_cast<std::uint8_t>(i), 1, 0});
  }
  const PixelPower power = measured_pixel();
  for (const double amps : {0.063, 0.1, 0.3, 0.5, 0.9}) {
    const std::vector<PropLoad> asked{load_of(picture, 63, 3, power)};
    const LoadLimit limit = limit_load(asked, Amps::of(amps));
    std::vector<Colour> shown = picture;
    for (Colour& colour : shown) colour = held_down(colour, limit.factor);
    EXPECT_LE(load_of(shown, 63, 3, power).total().value(), amps + 1e-12);
  }
}

TEST(LevelLimit, IsTheLevelAtWhichAllOfTheSupplyMayBeWhite) {
  // One window on 1 A: (1 - 0.063) / 2.772 = 0.33802.
  const std::vector<PropLoad> window{full_load(63, 63, measured_pixel())};
  EXPECT_NEAR(level_limit(window, Amps::of(1)).share(), 0.3380231, 1e-7);
  EXPECT_EQ(level_limit(window, Amps::of(5)), light::Level::of(1));
}

}  // namespace
}  // namespace panewalk::power
