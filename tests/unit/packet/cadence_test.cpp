#include "packet/cadence.hpp"

#include <gtest/gtest.h>

#include <vector>

namespace panewalk::packet {
namespace {

using namespace std::chrono_literals;
using base::Duration;
using base::Instant;

/// Milliseconds of the frames that are sent, out of all frames of `length`; a change at each of
/// `changes`.
std::vector<int> sent(Cadence cadence, Duration period, Duration length,
                      const std::vector<int>& changes) {
  std::vector<int> times;
  for (Duration at = 0ns; at <= length; at += period) {
    const int now = static_cast<int>(at / 1ms);
    const bool changed = std::find(changes.begin(), changes.end(), now) != changes.end();
    if (cadence.send(Instant{at}, changed ? Content::kChanged : Content::kUnchanged)) {
      times.push_back(now);
    }
  }
  return times;
}

// E1.31-2018 6.6.2 for all that follow.
TEST(Cadence, SendsAChangeAndThreeMoreThenKeepsAlive) {
  EXPECT_EQ(sent(Cadence{25ms}, 25ms, 2600ms, {}),
            (std::vector<int>{0, 25, 50, 75, 875, 1675, 2475}));
}

TEST(Cadence, SendsAChangeAtOnce) {
  EXPECT_EQ(sent(Cadence{25ms}, 25ms, 1300ms, {400}),
            (std::vector<int>{0, 25, 50, 75, 400, 425, 450, 475, 1275}));
}

TEST(Cadence, CountsTheThreeFromTheLastChange) {
  EXPECT_EQ(sent(Cadence{25ms}, 25ms, 900ms, {50, 75}),
            (std::vector<int>{0, 25, 50, 75, 100, 125, 150}));
}

TEST(Cadence, StaysWithin1000MillisecondsOnACoarseGrid) {
  // 750 ms is the last frame that is not too late for the next.
  EXPECT_EQ(sent(Cadence{375ms}, 375ms, 4125ms, {}),
            (std::vector<int>{0, 375, 750, 1125, 1875, 2625, 3375, 4125}));
  EXPECT_EQ(sent(Cadence{300ms}, 300ms, 2700ms, {}),
            (std::vector<int>{0, 300, 600, 900, 1800, 2700}));
  // Exactly 1000 ms is allowed.
  EXPECT_EQ(sent(Cadence{250ms}, 250ms, 2750ms, {}),
            (std::vector<int>{0, 250, 500, 750, 1750, 2750}));
  EXPECT_EQ(sent(Cadence{1s}, 1s, 6s, {}),
            (std::vector<int>{0, 1000, 2000, 3000, 4000, 5000, 6000}));
}

TEST(Cadence, SendsEveryFrameWhereThatIsAsked) {
  EXPECT_EQ(sent(Cadence{100ms, Repeat::kEveryFrame}, 100ms, 900ms, {}),
            (std::vector<int>{0, 100, 200, 300, 400, 500, 600, 700, 800, 900}));
}

TEST(Cadence, BeginsAgainAfterASilence) {
  Cadence cadence{25ms};
  for (int frame = 0; frame < 10; ++frame) {
    EXPECT_EQ(cadence.send(Instant{frame * 25ms}, Content::kUnchanged), frame < 4) << frame;
  }
  cadence.restart();
  for (int frame = 10; frame < 20; ++frame) {
    EXPECT_EQ(cadence.send(Instant{frame * 25ms}, Content::kUnchanged), frame < 14) << frame;
  }
}

}  // namespace
}  // namespace panewalk::packet
