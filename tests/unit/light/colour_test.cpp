#include "light/colour.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <string>
#include <vector>

namespace panewalk::light {
namespace {

std::string letters_of(const ColourOrder& order) {
  std::string letters;
  for (const Component component : order.components()) letters += component_letter(component);
  return letters;
}

TEST(ColourOrder, TakesEveryOrderOfThreeAndKeepsIt) {
  for (const char* letters : {"RGB", "RBG", "GRB", "GBR", "BRG", "BGR"}) {
    const auto order = ColourOrder::from(letters);
    ASSERT_TRUE(order) << letters;
    EXPECT_EQ(letters_of(*order), letters);
    EXPECT_EQ(order->channels(), 3U);
    EXPECT_FALSE(order->has_white());
  }
}

TEST(ColourOrder, TakesOrdersOfFour) {
  for (const char* letters : {"RGBW", "GRBW", "WRGB", "BWGR"}) {
    const auto order = ColourOrder::from(letters);
    ASSERT_TRUE(order) << letters;
    EXPECT_EQ(letters_of(*order), letters);
    EXPECT_EQ(order->channels(), 4U);
    EXPECT_TRUE(order->has_white());
  }
}

TEST(ColourOrder, RefusesWhatIsNoPermutation) {
  for (const char* letters :
       {"", "R", "RG", "RGG", "RGW", "RGBB", "RGBWW", "rgb", "RGBw", "RGBWRGBW", "XYZ"}) {
    EXPECT_FALSE(ColourOrder::from(letters)) << letters;
  }
}

TEST(ColourOrder, IsRedGreenBlueUnlessSaidOtherwise) {
  EXPECT_EQ(letters_of(ColourOrder{}), "RGB");
  EXPECT_EQ(ColourOrder{}, ColourOrder::from("RGB"));
  EXPECT_NE(ColourOrder{}, ColourOrder::from("GRB"));
}

TEST(Colour, GivesItsLevelByComponent) {
  constexpr Colour kColour{1, 2, 3, 4};
  EXPECT_EQ(level_of(kColour, Component::kRed), 1);
  EXPECT_EQ(level_of(kColour, Component::kGreen), 2);
  EXPECT_EQ(level_of(kColour, Component::kBlue), 3);
  EXPECT_EQ(level_of(kColour, Component::kWhite), 4);
}

TEST(Level, StaysBetweenNothingAndAll) {
  EXPECT_EQ(Level::of(-0.5).share(), 0.0);
  EXPECT_EQ(Level::of(0.3).share(), 0.3);
  EXPECT_EQ(Level::of(7).share(), 1.0);
  EXPECT_EQ(Level::of(std::numeric_limits<double>::quiet_NaN()).share(), 0.0);
}

TEST(Dimmed, RoundsEachChannelToTheNearest) {
  // 30 % of 255, 100, 1 and 2 is 76.5, 30, 0.3 and 0.6.
  EXPECT_EQ(dimmed({255, 100, 1, 2}, Level::of(0.3)), (Colour{77, 30, 0, 1}));
  EXPECT_EQ(dimmed({255, 100, 1, 2}, Level::of(1)), (Colour{255, 100, 1, 2}));
  EXPECT_EQ(dimmed({255, 100, 1, 2}, Level::of(0)), kBlack);
}

TEST(Between, GoesFromOneColourToTheOther) {
  constexpr Colour kFrom{0, 200, 10, 0};
  constexpr Colour kTo{100, 0, 10, 255};
  EXPECT_EQ(between(kFrom, kTo, 0), kFrom);
  EXPECT_EQ(between(kFrom, kTo, 0.25), (Colour{25, 150, 10, 64}));
  EXPECT_EQ(between(kFrom, kTo, 1), kTo);
  EXPECT_EQ(between(kFrom, kTo, 3), kTo);
  EXPECT_EQ(between(kFrom, kTo, -3), kFrom);
}

}  // namespace
}  // namespace panewalk::light
