#include "web/watch.hpp"

#include <gtest/gtest.h>

namespace panewalk::web {
namespace {

using engine::Mode;
using namespace std::chrono_literals;
using Act = Watch::Act;

constexpr Duration kTenMinutes = 10min;
constexpr Instant kStart{5s};

TEST(Watch, GoesDarkWhenNobodyWatchedForTheTime) {
  const Watch watch{kStart};
  EXPECT_EQ(watch.tick(kStart, Mode::kLit, kTenMinutes), Act::kNothing);
  EXPECT_EQ(watch.tick(kStart + 10min - 1ns, Mode::kLit, kTenMinutes), Act::kNothing);
  EXPECT_EQ(watch.tick(kStart + 10min, Mode::kLit, kTenMinutes), Act::kGoDark);
}

TEST(Watch, ReleasesTenSecondsAfterItWentDark) {
  const Watch watch{kStart};
  EXPECT_EQ(watch.tick(kStart + 10min + 9s, Mode::kDark, kTenMinutes), Act::kNothing);
  EXPECT_EQ(watch.tick(kStart + 10min + 10s, Mode::kDark, kTenMinutes), Act::kRelease);
}

TEST(Watch, ReleasesDarknessThatWasAskedFor) {
  const Watch watch{kStart};
  EXPECT_EQ(watch.tick(kStart + 11min, Mode::kDark, kTenMinutes), Act::kRelease);
}

TEST(Watch, NeverReleasesFromLightWithoutDarknessFirst) {
  const Watch watch{kStart};
  EXPECT_EQ(watch.tick(kStart + 2h, Mode::kLit, kTenMinutes), Act::kGoDark);
}

TEST(Watch, TellsUntilItIsDone) {
  const Watch watch{kStart};
  EXPECT_EQ(watch.tick(kStart + 10min, Mode::kLit, kTenMinutes), Act::kGoDark);
  EXPECT_EQ(watch.tick(kStart + 10min + 1s, Mode::kLit, kTenMinutes), Act::kGoDark);
}

TEST(Watch, BeginsAnewWhenSomeoneComes) {
  Watch watch{kStart};
  watch.seen(kStart + 10min + 5s);
  EXPECT_EQ(watch.tick(kStart + 10min + 11s, Mode::kDark, kTenMinutes), Act::kNothing);
  EXPECT_EQ(watch.tick(kStart + 20min + 5s, Mode::kLit, kTenMinutes), Act::kGoDark);
  EXPECT_EQ(watch.since_seen(kStart + 10min + 6s), 1s);
}

TEST(Watch, HasNothingToDoInSilence) {
  const Watch watch{kStart};
  EXPECT_EQ(watch.tick(kStart + 2h, Mode::kSilent, kTenMinutes), Act::kNothing);
  EXPECT_EQ(watch.tick(kStart + 2h, Mode::kReleasing, kTenMinutes), Act::kNothing);
}

}  // namespace
}  // namespace panewalk::web
