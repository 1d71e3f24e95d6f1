#include "patch/patch.hpp"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "support/patch_site.hpp"

namespace panewalk::patch {
namespace {

using test::PatchSite;

PropPatch alone(int pixels, std::string_view order, int packing, std::int64_t universe = 1,
                std::int64_t channel = 1, int nulls = 0, std::vector<wiring::Spares> spares = {}) {
  PatchSite site;
  site.controller("bench").channels_per_universe = packing;
  PatchedProp& prop = site.prop("slip-window", "bench", pixels, universe, order, spares);
  prop.placement.channel = channel;
  prop.placement.nulls = nulls;
  return site.assign().value().props[0];
}

Channel of(const PropPatch& patch, std::size_t pixel) { return patch.of(PixelIndex::of(pixel)); }

std::string lines(const base::Problems& problems) {
  std::string text;
  for (const base::Problem& problem : problems) text += base::to_line(problem) + '\n';
  return text;
}

TEST(UsableChannels, AreWholePixelsOrAll) {
  // 170 RGB pixels of 512 channels, 128 RGBW.
  EXPECT_EQ(usable_channels(510, 3), 510);
  EXPECT_EQ(usable_channels(510, 4), 512);
  EXPECT_EQ(usable_channels(512, 3), 512);
  EXPECT_EQ(usable_channels(512, 4), 512);
}

PixelFormat format(std::string_view order, double bits_per_second, int reset_us) {
  PixelFormat made;
  made.order = *light::ColourOrder::from(order);
  made.bits_per_second = bits_per_second;
  made.reset = std::chrono::microseconds{reset_us};
  return made;
}

TEST(MostChips, FollowsFromBitTimeAndReset) {
  // floor((1 / rate - reset) / (bits x bit time)). One RGB pixel at 800 kHz takes 24 x 1.25 us =
  // 30 us (WS2812B data sheet), RGBW 40 us.
  EXPECT_EQ(most_chips(format("RGB", 800'000, 50), 40), 831U);
  EXPECT_EQ(most_chips(format("RGB", 800'000, 280), 40), 824U);
  EXPECT_EQ(most_chips(format("RGB", 800'000, 300), 40), 823U);
  EXPECT_EQ(most_chips(format("RGBW", 800'000, 50), 40), 623U);
  EXPECT_EQ(most_chips(format("RGBW", 800'000, 280), 40), 618U);
  EXPECT_EQ(most_chips(format("RGBW", 800'000, 300), 40), 617U);
  EXPECT_EQ(most_chips(format("RGB", 800'000, 300), 20), 1656U);
  EXPECT_EQ(most_chips(format("RGB", 800'000, 300), 30), 1101U);
  EXPECT_EQ(most_chips(format("RGB", 800'000, 300), 44), 747U);
  EXPECT_EQ(most_chips(format("RGB", 800'000, 300), 60), 545U);
  // The WS2811 data sheet claims at least 512 and 1024 at 30 frames a second.
  EXPECT_EQ(most_chips(format("RGB", 400'000, 50), 30), 554U);
  EXPECT_EQ(most_chips(format("RGB", 800'000, 50), 30), 1109U);
}

TEST(MostChips, CountsAChainThatFitsExactly) {
  // 25 ms less 40 us are 832 x 30 us.
  EXPECT_EQ(most_chips(format("RGB", 800'000, 40), 40), 832U);
  EXPECT_EQ(most_chips(format("RGB", 800'000, 41), 40), 831U);
  EXPECT_EQ(most_chips(format("RGB", 800'000, 30'000), 40), 0U);
}

TEST(Patch, StartsANewUniverseAfter170PixelsAt510) {
  const PropPatch patch = alone(200, "RGB", 510);
  EXPECT_EQ(of(patch, 1), (Channel{1, 1}));
  EXPECT_EQ(of(patch, 2), (Channel{1, 4}));
  EXPECT_EQ(of(patch, 170), (Channel{1, 508}));
  EXPECT_EQ(of(patch, 171), (Channel{2, 1}));
  EXPECT_EQ(patch.channel_of(170, 2), (Channel{2, 3}));
  EXPECT_EQ(patch.first_universe(), 1);
  EXPECT_EQ(patch.last_universe(), 2);
  EXPECT_EQ(patch.usable(), 510);
}

TEST(Patch, StraddlesTheSeamAt512) {
  const PropPatch patch = alone(200, "RGB", 512, 7);
  EXPECT_EQ(patch.channel_of(170, 0), (Channel{7, 511}));
  EXPECT_EQ(patch.channel_of(170, 1), (Channel{7, 512}));
  EXPECT_EQ(patch.channel_of(170, 2), (Channel{8, 1}));
  EXPECT_EQ(of(patch, 172), (Channel{8, 2}));
}

TEST(Patch, StartsANewUniverseAfter128PixelsOfFourChannelsEitherWay) {
  for (const int packing : {510, 512}) {
    const PropPatch patch = alone(200, "RGBW", packing);
    EXPECT_EQ(of(patch, 128), (Channel{1, 509})) << packing;
    EXPECT_EQ(of(patch, 129), (Channel{2, 1})) << packing;
  }
}

TEST(Patch, CrossesSeveralSeams) {
  // 700 RGB pixels: 170 a universe, so pixel 511 is the first of the fourth.
  const PropPatch even = alone(700, "RGB", 510, 20);
  EXPECT_EQ(of(even, 341), (Channel{22, 1}));
  EXPECT_EQ(of(even, 511), (Channel{23, 1}));
  EXPECT_EQ(of(even, 681), (Channel{24, 1}));
  EXPECT_EQ(even.last_universe(), 24);
  // With no gap 2100 channels end at 4 x 512 + 52.
  const PropPatch tight = alone(700, "RGB", 512, 20);
  EXPECT_EQ(tight.channel_of(699, 2), (Channel{24, 52}));
}

TEST(Patch, StartsWhereThePlacementSays) {
  const PropPatch patch = alone(3, "GRB", 510, 4, 508);
  EXPECT_EQ(of(patch, 1), (Channel{4, 508}));
  EXPECT_EQ(of(patch, 2), (Channel{5, 1}));
  EXPECT_EQ(patch.first_universe(), 4);
  EXPECT_EQ(patch.order(), light::ColourOrder::from("GRB"));
}

TEST(Patch, EndsInItsUniverseWhenItFillsIt) {
  EXPECT_EQ(alone(170, "RGB", 510).last_universe(), 1);
  EXPECT_EQ(alone(171, "RGB", 510).last_universe(), 2);
}

TEST(Patch, GivesNullsTheFirstChannels) {
  const PropPatch patch = alone(10, "RGB", 510, 1, 1, 2);
  EXPECT_EQ(patch.slot_of(PixelIndex::of(1)), 2U);
  EXPECT_EQ(of(patch, 1), (Channel{1, 7}));
  EXPECT_EQ(patch.chips(), 12U);
}

TEST(Patch, GivesSparesTheChannelsWhereTheySit) {
  const PropPatch patch = alone(10, "RGB", 510, 1, 1, 1, {{4, 2}, {7, 1}});
  EXPECT_EQ(patch.slot_of(PixelIndex::of(4)), 4U);
  EXPECT_EQ(patch.slot_of(PixelIndex::of(5)), 7U);
  EXPECT_EQ(patch.slot_of(PixelIndex::of(7)), 9U);
  EXPECT_EQ(patch.slot_of(PixelIndex::of(8)), 11U);
  EXPECT_EQ(of(patch, 8), (Channel{1, 34}));
  EXPECT_EQ(patch.chips(), 14U);
}

TEST(Patch, CountsSparesAfterTheLastPixelAsUsed) {
  const PropPatch patch = alone(170, "RGB", 510, 1, 1, 0, {{170, 1}});
  EXPECT_EQ(of(patch, 170), (Channel{1, 508}));
  EXPECT_EQ(patch.last_universe(), 2);
}

TEST(Patch, NotesPortAddressZeroAndFastRates) {
  PatchSite site;
  ControllerDescription& yard = site.controller("yard", {10, 0, 0, 2}, Protocol::kArtNet);
  yard.frames_per_second = 50;
  ControllerDescription& bench = site.controller("bench", {10, 0, 0, 3});
  bench.frames_per_second = 45;
  site.controller("shed", {10, 0, 0, 4}).frames_per_second = 44;
  site.prop("boat-ring", "yard", 10, 0);
  const auto patch = site.assign();
  ASSERT_TRUE(patch.ok());
  EXPECT_EQ(patch.value().props[0].first_universe(), 0);
  EXPECT_EQ(lines(patch.value().notes),
            "/controllers/0/rate: 50 per second is faster than DMX512-A sends 512 channels (44 per "
            "second); Art-Net, ArtDmx refresh rate, allows it only where the controller is known "
            "to take it\n"
            "/controllers/1/rate: 45 per second is faster than DMX512-A sends 512 channels (44 per "
            "second); E1.31 §6.6.1 allows it only where the controller is known to take it\n"
            "/props/0/universe: Port-Address 0 has no universe of the same number in E1.31; count "
            "from 1 where the controller can\n");
}

TEST(Protocol, HasTheNameOfTheFile) {
  EXPECT_EQ(to_text(Protocol::kE131), "e131");
  EXPECT_EQ(to_text(Protocol::kArtNet), "artnet");
}

}  // namespace
}  // namespace panewalk::patch
