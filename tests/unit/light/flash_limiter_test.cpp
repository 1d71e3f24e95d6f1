#include "light/flash_limiter.hpp"

#include <gtest/gtest.h>

#include <chrono>
#include <vector>

namespace panewalk::light {
namespace {

using std::chrono::milliseconds;

constexpr Colour kWhite{255, 255, 255, 0};
constexpr Colour kRed{255, 0, 0, 0};
constexpr Colour kBlue{0, 0, 255, 0};

Instant at(int ms) { return Instant{milliseconds{ms}}; }

Canvas canvas(std::initializer_list<std::pair<std::size_t, Colour>> props) {
  std::vector<std::size_t> pixels;
  for (const auto& prop : props) pixels.push_back(prop.first);
  Canvas made{pixels};
  std::size_t index = 0;
  for (const auto& prop : props) {
    for (Colour& colour : made.prop(index)) colour = prop.second;
    ++index;
  }
  return made;
}

FlashLimiter limiter(std::vector<std::size_t> pixels) { return FlashLimiter{pixels}; }

Colour first(SafeFrame frame) { return frame.prop(0)[0]; }

/// Changes from dark to lit or back in what is shown of the first pixel.
struct Blinks {
  int ons = 0, offs = 0;
  bool lit = false;
  void see(SafeFrame frame) {
    const bool now = !first(frame).dark();
    ons += now && !lit ? 1 : 0;
    offs += !now && lit ? 1 : 0;
    lit = now;
  }
};

TEST(Luminance, WeighsTheColoursAsRec709Does) {  // ITU-R BT.709-6, item 3.2
  EXPECT_DOUBLE_EQ(luminance(kBlack), 0);
  EXPECT_DOUBLE_EQ(luminance(kWhite), 1);
  EXPECT_DOUBLE_EQ(luminance(kRed), 0.2126);
  EXPECT_DOUBLE_EQ(luminance({0, 255, 0, 0}), 0.7152);
  EXPECT_DOUBLE_EQ(luminance(kBlue), 0.0722);
  EXPECT_DOUBLE_EQ(luminance({0, 0, 0, 255}), 1);
  EXPECT_DOUBLE_EQ(luminance({51, 51, 51, 0}), 0.2);
}

TEST(SaturatedRed, NeedsFourFifthsRed) {  // WCAG 2.0, working definition of the red flash
  EXPECT_DOUBLE_EQ(saturated_red(kRed), 1);
  EXPECT_DOUBLE_EQ(saturated_red({200, 50, 0, 0}), 150.0 / 255);  // 200 / 250 is 0.8
  EXPECT_DOUBLE_EQ(saturated_red({200, 51, 0, 0}), 0);
  EXPECT_DOUBLE_EQ(saturated_red(kBlack), 0);
  EXPECT_DOUBLE_EQ(saturated_red({255, 0, 0, 255}), 0);
  EXPECT_DOUBLE_EQ(saturated_red(kBlue), 0);
}

TEST(FlashLimiter, StartsDark) {
  FlashLimiter limit = limiter({2, 1});
  EXPECT_EQ(limit.last().props(), 2U);
  EXPECT_EQ(limit.last().prop(0)[1], kBlack);
  EXPECT_FALSE(limit.held());
}

TEST(FlashLimiter, HoldsAFortyHertzAlternationBelowThreeASecond) {
  FlashLimiter limit = limiter({63});
  const Canvas on = canvas({{63, kWhite}});
  const Canvas off = canvas({{63, kBlack}});
  Blinks blinks;
  for (int frame = 0; frame < 400; ++frame) {
    blinks.see(limit.pass(frame % 2 == 0 ? on : off, at(frame * 25)));
  }
  EXPECT_GE(blinks.ons, 20);  // it goes on blinking: held, not stopped
  EXPECT_LT(blinks.ons, 30);
  EXPECT_LT(blinks.offs, 30);
}

TEST(FlashLimiter, HoldsARiseThatComesTooSoon) {
  FlashLimiter limit = limiter({10});
  const Canvas on = canvas({{10, kWhite}});
  const Canvas off = canvas({{10, kBlack}});
  EXPECT_EQ(first(limit.pass(on, at(0))), kWhite);
  EXPECT_EQ(first(limit.pass(off, at(100))), kBlack);
  EXPECT_FALSE(limit.held());
  EXPECT_EQ(first(limit.pass(on, at(200))), kBlack);
  EXPECT_TRUE(limit.held());
  EXPECT_EQ(first(limit.pass(on, at(359))), kBlack);
  EXPECT_EQ(first(limit.pass(on, at(360))), kWhite);
  EXPECT_FALSE(limit.held());
}

TEST(FlashLimiter, HoldsAFallThatComesTooSoon) {
  FlashLimiter limit = limiter({10});
  const Canvas on = canvas({{10, kWhite}});
  const Canvas off = canvas({{10, kBlack}});
  (void)limit.pass(on, at(0));
  (void)limit.pass(off, at(350));
  EXPECT_EQ(first(limit.pass(on, at(360))), kWhite);
  EXPECT_EQ(first(limit.pass(off, at(709))), kWhite);
  EXPECT_EQ(first(limit.pass(off, at(710))), kBlack);
}

TEST(FlashLimiter, CountsATenthOfFullLightAndNoLess) {
  // 26 of 255 is 10.2 %, 25 is 9.8 %.
  for (const auto& [level, is_held] :
       std::vector<std::pair<std::uint8_t, bool>>{{25, false}, {26, true}}) {
    FlashLimiter limit = limiter({10});
    const Canvas on = canvas({{10, {level, level, level, 0}}});
    const Canvas off = canvas({{10, kBlack}});
    (void)limit.pass(on, at(0));
    (void)limit.pass(off, at(25));
    (void)limit.pass(on, at(50));
    EXPECT_EQ(limit.held().has_value(), is_held) << int{level};
  }
}

TEST(FlashLimiter, CountsAChangeWhereTheDarkerStateIsBright) {
  // WCAG would exempt this one: the darker state is above 0.80.
  FlashLimiter limit = limiter({10});
  const Canvas bright = canvas({{10, {210, 210, 210, 0}}});
  const Canvas full = canvas({{10, kWhite}});
  (void)limit.pass(full, at(0));
  (void)limit.pass(bright, at(25));
  (void)limit.pass(full, at(50));
  EXPECT_TRUE(limit.held());
}

TEST(FlashLimiter, CountsDimRedFlashesThatTheLuminanceMisses) {
  // 30 of 255 red: 2.5 % of full light, but (R - G - B) x 320 is 37.6.
  FlashLimiter limit = limiter({10});
  const Canvas on = canvas({{10, {30, 0, 0, 0}}});
  const Canvas off = canvas({{10, kBlack}});
  (void)limit.pass(on, at(0));
  (void)limit.pass(off, at(25));
  (void)limit.pass(on, at(50));
  EXPECT_EQ(limit.held(), (Held{Held::Reason::kRedFlash, 0, at(50)}));
}

TEST(FlashLimiter, HoldsRedAndBlueInTurn) {
  FlashLimiter limit = limiter({10});
  Blinks reds;
  for (int frame = 0; frame < 400; ++frame) {
    const SafeFrame shown =
        limit.pass(canvas({{10, frame % 2 == 0 ? kRed : kBlue}}), at(frame * 25));
    const bool red = first(shown) == kRed;
    reds.ons += red && !reds.lit ? 1 : 0;
    reds.lit = red;
  }
  EXPECT_GE(reds.ons, 20);
  EXPECT_LT(reds.ons, 30);
}

TEST(FlashLimiter, NeverHoldsASinglePixelThatMovesAlongAProp) {
  FlashLimiter limit = limiter({63});
  for (int frame = 0; frame < 1000; ++frame) {
    Canvas wanted = canvas({{63, kBlack}});
    // Every other frame is dark, the worst a chase could do.
    if (frame % 2 == 0) wanted.prop(0)[static_cast<std::size_t>(frame / 2 % 63)] = kWhite;
    const SafeFrame shown = limit.pass(wanted, at(frame * 25));
    ASSERT_FALSE(limit.held()) << frame;
    ASSERT_EQ(shown.prop(0)[static_cast<std::size_t>(frame / 2 % 63)],
              frame % 2 == 0 ? kWhite : kBlack);
  }
}

TEST(FlashLimiter, LetsAPixelMoveOnAPropOfTwoSinceTheMeanStays) {
  FlashLimiter limit = limiter({2});
  for (int frame = 0; frame < 100; ++frame) {
    Canvas wanted = canvas({{2, kBlack}});
    wanted.prop(0)[static_cast<std::size_t>(frame % 2)] = kWhite;
    (void)limit.pass(wanted, at(frame * 100));
    ASSERT_FALSE(limit.held()) << frame;
  }
}

TEST(FlashLimiter, HoldsAPixelThatBlinksOnAPropOfTwo) {
  FlashLimiter limit = limiter({2});
  Canvas one = canvas({{2, kBlack}});
  one.prop(0)[0] = kWhite;
  (void)limit.pass(one, at(0));
  (void)limit.pass(canvas({{2, kBlack}}), at(100));
  (void)limit.pass(one, at(200));
  EXPECT_EQ(limit.held(), (Held{Held::Reason::kFlash, 0, at(200)}));
}

TEST(FlashLimiter, SaysSinceWhenItHolds) {
  FlashLimiter limit = limiter({4, 10});
  const Canvas on = canvas({{4, kBlack}, {10, kWhite}});
  const Canvas off = canvas({{4, kBlack}, {10, kBlack}});
  (void)limit.pass(on, at(0));
  (void)limit.pass(off, at(25));
  for (int ms = 50; ms < 360; ms += 25) {
    (void)limit.pass(on, at(ms));
    EXPECT_EQ(limit.held(), (Held{Held::Reason::kFlash, 1, at(50)})) << ms;
  }
  (void)limit.pass(on, at(375));
  EXPECT_FALSE(limit.held());
}

TEST(FlashLimiter, EndsTheHoldWhenThePictureShownIsAskedForAgain) {
  FlashLimiter limit = limiter({10});
  const Canvas on = canvas({{10, kWhite}});
  const Canvas off = canvas({{10, kBlack}});
  (void)limit.pass(on, at(0));
  (void)limit.pass(off, at(25));
  (void)limit.pass(on, at(50));
  EXPECT_TRUE(limit.held());
  (void)limit.pass(off, at(75));
  EXPECT_FALSE(limit.held());
}

TEST(FlashLimiter, HoldsTwoPropsThatTakeTurnsAndSaysAll) {
  // Each prop alone rises once in 600 ms; together they rise every 300 ms.
  FlashLimiter limit = limiter({10, 10});
  (void)limit.pass(canvas({{10, kWhite}, {10, kBlack}}), at(0));
  (void)limit.pass(canvas({{10, kBlack}, {10, kBlack}}), at(150));
  (void)limit.pass(canvas({{10, kBlack}, {10, kWhite}}), at(300));
  EXPECT_EQ(limit.held(), (Held{Held::Reason::kFlash, std::nullopt, at(300)}));
  (void)limit.pass(canvas({{10, kBlack}, {10, kWhite}}), at(360));
  EXPECT_FALSE(limit.held());
}

TEST(FlashLimiter, MeasuresTheLitPropsAgainstTheirOwnPixelsNotTheWholeSite) {
  // Twenty pixels of 2020 take turns; against the whole site this would be half a per cent.
  FlashLimiter limit = limiter({10, 10, 2000});
  (void)limit.pass(canvas({{10, kWhite}, {10, kBlack}, {2000, kBlack}}), at(0));
  (void)limit.pass(canvas({{10, kBlack}, {10, kBlack}, {2000, kBlack}}), at(150));
  (void)limit.pass(canvas({{10, kBlack}, {10, kWhite}, {2000, kBlack}}), at(300));
  EXPECT_EQ(limit.held(), (Held{Held::Reason::kFlash, std::nullopt, at(300)}));
}

TEST(FlashLimiter, RepeatsTheWholeFrameWhenOnePropIsTooSoon) {
  FlashLimiter limit = limiter({10, 10});
  const Canvas both = canvas({{10, kWhite}, {10, {0, 20, 0, 0}}});
  const Canvas none = canvas({{10, kBlack}, {10, {0, 0, 20, 0}}});
  (void)limit.pass(both, at(0));
  (void)limit.pass(none, at(25));
  const SafeFrame shown = limit.pass(both, at(50));
  EXPECT_EQ(shown.prop(0)[0], kBlack);
  EXPECT_EQ(shown.prop(1)[0], (Colour{0, 0, 20, 0}));
}

TEST(FlashLimiter, NeverHoldsDarkness) {
  FlashLimiter limit = limiter({10});
  const Canvas on = canvas({{10, kWhite}});
  const Canvas off = canvas({{10, kBlack}});
  (void)limit.pass(on, at(0));
  (void)limit.pass(off, at(350));
  (void)limit.pass(on, at(360));
  (void)limit.pass(off, at(361));
  EXPECT_TRUE(limit.held());
  EXPECT_EQ(first(limit.dark(at(362))), kBlack);
  EXPECT_FALSE(limit.held());
  EXPECT_EQ(first(limit.pass(on, at(719))), kBlack);
  EXPECT_EQ(first(limit.pass(on, at(720))), kWhite);
}

TEST(FlashLimiter, LetsASteadyFramePassWithin360Milliseconds) {
  FlashLimiter limit = limiter({10});
  const Canvas on = canvas({{10, kWhite}});
  const Canvas off = canvas({{10, kBlack}});
  for (int frame = 0; frame < 200; ++frame) (void)limit.pass(frame % 2 == 0 ? on : off, at(frame));
  int asked = 200;
  for (int round = 0; round < 50; ++round) {
    const Canvas& wanted = round % 2 == 0 ? on : off;
    int ms = asked;
    while (first(limit.pass(wanted, at(ms))) != wanted.prop(0)[0]) ++ms;
    ASSERT_LE(ms - asked, 360) << round;
    asked = ms + 1;
  }
}

TEST(FlashLimiter, MakesUpForTheFallsOfDarknessWithinTheSecond) {
  // Changes at 0, 1, 2, 361 and 362 ms; a fifth and the fall after it must not make a fourth
  // flash with what a slow change shows, so that the next rise waits for the first to be a
  // second old.
  FlashLimiter limit = limiter({10});
  const Canvas on = canvas({{10, kWhite}});
  const Canvas off = canvas({{10, kBlack}});
  (void)limit.pass(on, at(-360));
  (void)limit.pass(off, at(0));
  (void)limit.pass(on, at(1));
  (void)limit.dark(at(2));
  (void)limit.pass(on, at(361));
  (void)limit.dark(at(362));
  EXPECT_EQ(first(limit.pass(on, at(1000))), kBlack);
  EXPECT_EQ(first(limit.pass(on, at(1001))), kWhite);
}

TEST(FlashLimiter, LetsASlowPulsePassUnchanged) {
  FlashLimiter limit = limiter({63});
  for (int ms = 0; ms < 9000; ms += 25) {
    const int in_period = ms % 2000;
    const int level = in_period < 1000 ? in_period * 255 / 1000 : (2000 - in_period) * 255 / 1000;
    const auto channel = static_cast<std::uint8_t>(level);
    (void)limit.pass(canvas({{63, {channel, channel, channel, 0}}}), at(ms));
    ASSERT_FALSE(limit.held()) << ms;
  }
}

TEST(FlashLimiter, CountsTheWhiteChipOfFourChannelPixels) {
  FlashLimiter limit = limiter({10});
  const Canvas on = canvas({{10, {0, 0, 0, 255}}});
  const Canvas off = canvas({{10, kBlack}});
  (void)limit.pass(on, at(0));
  (void)limit.pass(off, at(25));
  (void)limit.pass(on, at(50));
  EXPECT_TRUE(limit.held());
}

TEST(FlashLimiter, TakesAPropWithoutPixelsAndASiteWithoutProps) {
  FlashLimiter some = limiter({0, 1});
  EXPECT_EQ(some.pass(canvas({{0, kWhite}, {1, kWhite}}), at(0)).prop(1)[0], kWhite);
  FlashLimiter none = limiter({});
  EXPECT_EQ(none.pass(Canvas{}, at(0)).props(), 0U);
}

}  // namespace
}  // namespace panewalk::light
