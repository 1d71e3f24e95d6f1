#include "scan/tally.hpp"

#include <gtest/gtest.h>

#include <vector>

#include "packets.hpp"

namespace panewalk::scan {
namespace {

using test::at_ms;

struct Judged {
  std::uint64_t packets, lost, late, twice, jumps;
  bool operator==(const Judged&) const = default;
};

std::ostream& operator<<(std::ostream& out, const Judged& j) {
  return out << j.packets << " packets, " << j.lost << " lost, " << j.late << " late, " << j.twice
             << " twice, " << j.jumps << " jumps";
}

Judged judged(const Counts& c) { return {c.packets, c.lost, c.late, c.twice, c.jumps}; }

Judged after(Numbering numbering, const std::vector<int>& numbers) {
  Tally tally{numbering};
  std::int64_t ms = 0;
  for (const int number : numbers) tally.take(at_ms(ms += 25), static_cast<std::uint8_t>(number));
  return judged(tally.counts());
}

TEST(Tally, FindsNothingWrongWithOneMoreEachTime) {
  EXPECT_EQ(after(Numbering::kE131, {253, 254, 255, 0, 1}), (Judged{5, 0, 0, 0, 0}));
  EXPECT_EQ(after(Numbering::kArtNet, {253, 254, 255, 1, 2}), (Judged{5, 0, 0, 0, 0}));
}

TEST(Tally, CountsTheNumbersLeftOut) {
  EXPECT_EQ(after(Numbering::kE131, {1, 2, 5, 6}), (Judged{4, 2, 0, 0, 0}));
  EXPECT_EQ(after(Numbering::kE131, {254, 1}), (Judged{2, 2, 0, 0, 0}));
  EXPECT_EQ(after(Numbering::kArtNet, {254, 1}), (Judged{2, 1, 0, 0, 0}));
  EXPECT_EQ(after(Numbering::kE131, {0, 127}), (Judged{2, 126, 0, 0, 0}));
  EXPECT_EQ(after(Numbering::kArtNet, {1, 128}), (Judged{2, 126, 0, 0, 0}));
}

TEST(Tally, KnowsTheLateFromTheLost) {
  EXPECT_EQ(after(Numbering::kE131, {1, 3, 2, 4}), (Judged{4, 0, 1, 0, 0}));
  EXPECT_EQ(after(Numbering::kE131, {1, 4, 2, 5}), (Judged{4, 1, 1, 0, 0}));
  EXPECT_EQ(after(Numbering::kArtNet, {254, 1, 255, 2}), (Judged{4, 0, 1, 0, 0}));
}

TEST(Tally, KnowsWhatComesTwice) {
  EXPECT_EQ(after(Numbering::kE131, {1, 1, 2, 2}), (Judged{4, 0, 0, 2, 0}));
  EXPECT_EQ(after(Numbering::kE131, {1, 2, 3, 1, 2, 3}), (Judged{6, 0, 0, 3, 0}));
  EXPECT_EQ(after(Numbering::kE131, {1, 3, 2, 2}), (Judged{4, 0, 1, 1, 0}));
  EXPECT_EQ(after(Numbering::kArtNet, {255, 1, 255}), (Judged{3, 0, 0, 1, 0}));
}

TEST(Tally, CallsWhatCameBeforeTheFirstLateAndNotLost) {
  EXPECT_EQ(after(Numbering::kE131, {7, 6, 8}), (Judged{3, 0, 1, 0, 0}));
}

// E1.31-2018 6.7.2: -19 steps are dropped, -20 are taken.
TEST(Tally, JumpsWhereAReceiverTakesAnOlderNumber) {
  EXPECT_EQ(after(Numbering::kE131, {100, 81}), (Judged{2, 0, 1, 0, 0}));
  EXPECT_EQ(after(Numbering::kE131, {100, 80}), (Judged{2, 0, 0, 0, 1}));
  EXPECT_EQ(after(Numbering::kE131, {0, 128}), (Judged{2, 0, 0, 0, 1}));
  EXPECT_EQ(after(Numbering::kE131, {100, 10, 100, 10}), (Judged{4, 89, 0, 0, 2}));
}

TEST(Tally, TakesAnyNumberAfterTwoAndAHalfSeconds) {
  Tally tally{Numbering::kE131};
  tally.take(at_ms(0), 10);
  tally.take(at_ms(2500), 200);
  EXPECT_EQ(judged(tally.counts()), (Judged{2, 0, 0, 0, 0}));
  tally.take(at_ms(4999), 203);
  EXPECT_EQ(judged(tally.counts()), (Judged{3, 2, 0, 0, 0}));
}

TEST(Tally, TakesAnyNumberAfterARestartOrWithoutNumbers) {
  Tally tally{Numbering::kE131};
  tally.take(at_ms(0), 10);
  tally.restart();
  tally.take(at_ms(25), 60);
  EXPECT_EQ(judged(tally.counts()), (Judged{2, 0, 0, 0, 0}));
  EXPECT_EQ(after(Numbering::kArtNet, {0, 0, 9, 0, 40}), (Judged{5, 0, 0, 0, 0}));
}

// Three of every hundred are left out.
TEST(Tally, CountsAKnownPatternOfLossesRoundTheCircle) {
  Tally tally{Numbering::kE131};
  for (int i = 0; i < 1000; ++i) {
    if (i % 100 == 50 || i % 100 == 51 || i % 100 == 77) continue;
    tally.take(at_ms(25 * i), static_cast<std::uint8_t>(i % 256));
  }
  EXPECT_EQ(judged(tally.counts()), (Judged{970, 30, 0, 0, 0}));
  EXPECT_DOUBLE_EQ(tally.counts().lost_share(), 0.03);
}

TEST(Tally, TellsTheRateAndTheLongestSilence) {
  Tally tally{Numbering::kE131};
  EXPECT_EQ(tally.counts().per_second(), std::nullopt);
  tally.take(at_ms(1000), 1);
  EXPECT_EQ(tally.counts().per_second(), std::nullopt);
  tally.take(at_ms(1000), 2);
  EXPECT_EQ(tally.counts().per_second(), std::nullopt);
  tally.take(at_ms(1900), 3);
  tally.take(at_ms(2000), 4);
  EXPECT_EQ(tally.counts().per_second(), 3.0);
  EXPECT_EQ(tally.counts().longest_silence, std::chrono::milliseconds{900});
  EXPECT_EQ(tally.counts().lost_share(), 0.0);
}

}  // namespace
}  // namespace panewalk::scan
