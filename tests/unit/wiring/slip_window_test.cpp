#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "support/routes.hpp"

/// The slip window's routes, followed by hand on a drawing: columns 90 mm apart, rows 60 mm at the
/// edges and 90 mm between, 11 × 13 places, an upright in column 6 and a level in row 7.
namespace panewalk::wiring {
namespace {

using test::frame_of;
using test::route;
using test::section;
using test::slip_window;
using test::Wired;

const Wired& as_built() {
  static const Wired wired{frame_of(slip_window()),
                           route({"A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"})};
  return wired;
}

TEST(SlipWindow, HasSixtyThreePixelsInFourRuns) {
  const PixelMap& map = as_built().map();
  EXPECT_EQ(as_built().refusal(), "");
  EXPECT_EQ(map.size(), 63U);
  ASSERT_EQ(map.runs().size(), 4U);
  const std::vector<std::pair<std::uint32_t, std::uint32_t>> ends{
      {1, 44}, {45, 55}, {56, 59}, {60, 63}};
  for (std::size_t i = 0; i < ends.size(); ++i) {
    EXPECT_EQ(map.runs()[i].first.value(), ends[i].first) << "run " << i + 1;
    EXPECT_EQ(map.runs()[i].last.value(), ends[i].second) << "run " << i + 1;
  }
}

TEST(SlipWindow, NumbersItsStationsAlongTheRoute) {
  struct Case {
    const char* station;
    std::uint32_t index;
  };
  // Up the left stile from the sill: rows 13 to 1.
  for (const Case& c : {Case{"A3", 1},
                        {"A2-A3/5", 2},
                        {"A2-A3/1", 6},
                        {"A2", 7},
                        {"A1-A2/5", 8},
                        {"A1-A2/1", 12},
                        {"A1", 13}}) {
    EXPECT_EQ(as_built().index(c.station), c.index) << c.station;
  }
  // Across the head, down the right stile, back along the sill as far as A3's neighbour.
  for (const Case& c : {Case{"A1-B1/1", 14},
                        {"B1", 18},
                        {"B1-C1/1", 19},
                        {"C1", 23},
                        {"C1-C2/1", 24},
                        {"C2", 29},
                        {"C3", 35},
                        {"B3-C3/4", 36},
                        {"B3-C3/1", 39},
                        {"B3", 40},
                        {"A3-B3/4", 41},
                        {"A3-B3/1", 44}}) {
    EXPECT_EQ(as_built().index(c.station), c.index) << c.station;
  }
  // Up the middle, then the level: B2 belongs to the upright.
  for (const Case& c : {Case{"B2-B3/5", 45},
                        {"B2-B3/1", 49},
                        {"B2", 50},
                        {"B1-B2/5", 51},
                        {"B1-B2/1", 55},
                        {"A2-B2/1", 56},
                        {"A2-B2/4", 59},
                        {"B2-C2/1", 60},
                        {"B2-C2/4", 63}}) {
    EXPECT_EQ(as_built().index(c.station), c.index) << c.station;
  }
}

TEST(SlipWindow, HasTwoJumpsAndOneHopWithTheirWire) {
  const PixelMap& map = as_built().map();
  // 44 to 45: four columns of 90 to B3, 60 up. 55 to 56: 450 down to B2, four columns of 90 back.
  // 59 to 60: 90 to B2 and 90 on.
  EXPECT_EQ(as_built().splices(), "44 jump 420 mm, 55 jump 810 mm, 59 hop 180 mm");
  EXPECT_EQ(map.count(ReachedBy::kLeadIn), 1U);
  EXPECT_EQ(map.count(ReachedBy::kJump), 2U);
  EXPECT_EQ(map.count(ReachedBy::kHop), 1U);
  EXPECT_EQ(map.count(ReachedBy::kRun), 59U);
  EXPECT_DOUBLE_EQ(map.splice_wire().value(), 1410);
}

TEST(SlipWindow, TellsHowTheDataComesToEachPixel) {
  EXPECT_EQ(as_built().reached_by(1), "lead-in");
  EXPECT_EQ(as_built().reached_by(2), "run");
  EXPECT_EQ(as_built().reached_by(14), "run");  // round the corner A1
  EXPECT_EQ(as_built().reached_by(44), "run");
  EXPECT_EQ(as_built().reached_by(45), "jump");
  EXPECT_EQ(as_built().reached_by(50), "run");  // B2 is taken in passing
  EXPECT_EQ(as_built().reached_by(56), "jump");
  EXPECT_EQ(as_built().reached_by(60), "hop");
  EXPECT_EQ(as_built().reached_by(63), "run");
}

TEST(SlipWindow, KnowsWhichRunAPixelBelongsTo) {
  EXPECT_EQ(as_built().run(1), 1);
  EXPECT_EQ(as_built().run(44), 1);
  EXPECT_EQ(as_built().run(45), 2);
  EXPECT_EQ(as_built().run(55), 2);
  EXPECT_EQ(as_built().run(56), 3);
  EXPECT_EQ(as_built().run(60), 4);
  EXPECT_EQ(as_built().run(63), 4);
}

// Four panes: one long jump at least (odd joints / 2 − 1; Euler 1736) and two splices in all
// (panes − 2; counted by exhaustive search over the pairings of joints).
TEST(SlipWindow, CanBeWiredWithOneJumpAndOneHop) {
  const Wired wired{frame_of(slip_window()),
                    route({"(A2) A1 C1 C3 A3 A2 B2 (C2)", "(B3) (B2) (B1)"})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.map().size(), 63U);
  // From C2's neighbour back 360 to B2, then 450 down; straight over B2.
  EXPECT_EQ(wired.splices(), "53 jump 810 mm, 58 hop 180 mm");
  EXPECT_EQ(wired.index("A1-A2/5"), 1U);
  EXPECT_EQ(wired.index("A1"), 6U);
  EXPECT_EQ(wired.index("C2"), 22U);
  EXPECT_EQ(wired.index("A3"), 38U);
  EXPECT_EQ(wired.index("A2"), 44U);  // not taken at the start, but on the way back
  EXPECT_EQ(wired.index("A2-B2/1"), 45U);
  EXPECT_EQ(wired.index("B2"), 49U);
  EXPECT_EQ(wired.index("B2-C2/4"), 53U);
  EXPECT_EQ(wired.index("B2-B3/5"), 54U);
  EXPECT_EQ(wired.index("B2-B3/1"), 58U);
  EXPECT_EQ(wired.index("B1-B2/1"), 63U);
  EXPECT_EQ(wired.map().runs().size(), 2U);
}

TEST(SlipWindow, MayStartAndEndInsideABar) {
  const Wired wired{frame_of(slip_window()),
                    route({"A1-B1/3 A1 A3 C3 C1 A1-B1/4", "(B1) (B3)", "(A2) (B2)", "(B2) (C2)"})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.index("A1-B1/3"), 1U);
  EXPECT_EQ(wired.index("A1-B1/1"), 3U);
  EXPECT_EQ(wired.index("A1"), 4U);
  EXPECT_EQ(wired.index("A2"), 10U);
  EXPECT_EQ(wired.index("A3"), 16U);
  EXPECT_EQ(wired.index("B3"), 21U);
  EXPECT_EQ(wired.index("C3"), 26U);
  EXPECT_EQ(wired.index("C1"), 38U);
  EXPECT_EQ(wired.index("B1"), 43U);  // in line on the way to A1-B1/4
  EXPECT_EQ(wired.index("A1-B1/4"), 44U);
  EXPECT_EQ(wired.index("B1-B2/1"), 45U);
  EXPECT_EQ(wired.index("B2"), 50U);
  // Round B1: 90 and 60. Up the middle 450 to B2 and 360 back. Over B2.
  EXPECT_EQ(wired.splices(), "44 hop 150 mm, 55 jump 810 mm, 59 hop 180 mm");
}

TEST(SlipWindow, MeetsTheNextRunWithoutACutWhereTheyTouch) {
  const Wired wired{frame_of(slip_window()), route({"A3 A1", "A1 C1", "(C1) C3", "C3 (A3)",
                                                    "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"})};
  EXPECT_EQ(wired.order(), as_built().order());
  EXPECT_EQ(wired.splices(), as_built().splices());
  ASSERT_EQ(wired.map().runs().size(), 7U);
  EXPECT_EQ(wired.reached_by(14), "run");
  EXPECT_EQ(wired.run(13), 1);
  EXPECT_EQ(wired.run(14), 2);
  EXPECT_EQ(wired.reached_by(24), "run");
  EXPECT_EQ(wired.run(24), 3);
  EXPECT_EQ(wired.reached_by(36), "run");
  EXPECT_EQ(wired.run(36), 4);
}

TEST(SlipWindow, HopsOverAJointThatIsTakenWithoutParenthesesToo) {
  const Wired wired{frame_of(slip_window()), route({"A3 A1 C1 C3 A3", "B3 B1", "A2 B2", "B2 C2"})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.order(), as_built().order());
  EXPECT_EQ(wired.splices(), as_built().splices());
}

TEST(SlipWindow, TakesALevelInOneRunAcrossTheMiddle) {
  const Wired wired{frame_of(slip_window()), route({"A3 A1 C1 C3 (A3)", "(B3) (B1)", "(A2) (C2)"})};
  EXPECT_EQ(wired.order(), as_built().order());
  EXPECT_EQ(wired.splices(), as_built().splices());
  EXPECT_EQ(wired.map().runs().size(), 3U);
  EXPECT_EQ(wired.run(60), 3);
}

TEST(SlipWindow, LeavesAJointInParenthesesForALaterRun) {
  const Wired wired{frame_of(slip_window()),
                    route({"A3 A1 C1 C3 (A3)", "(B3) (B2) (B1)", "(A2) B2", "(B2) (C2)"})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.index("B2-B3/1"), 49U);
  EXPECT_EQ(wired.index("B1-B2/5"), 50U);
  EXPECT_EQ(wired.index("A2-B2/1"), 55U);
  EXPECT_EQ(wired.index("B2"), 59U);
  EXPECT_EQ(wired.index("B2-C2/1"), 60U);
  EXPECT_EQ(wired.reached_by(60), "run");
  EXPECT_EQ(wired.splices(), "44 jump 420 mm, 49 hop 180 mm, 54 jump 810 mm");
}

TEST(SlipWindow, BridgesEmptyPlacesByHops) {
  const Wired wired{frame_of({section(slip_window(), {"A1", "B1-B2/3"})}),
                    route({"A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.map().size(), 61U);
  EXPECT_EQ(wired.index("A1"), 0U);
  EXPECT_EQ(wired.index("B1-B2/3"), 0U);
  EXPECT_EQ(wired.index("A1-A2/1"), 12U);
  EXPECT_EQ(wired.index("A1-B1/1"), 13U);
  EXPECT_EQ(wired.index("B1-B2/4"), 51U);
  EXPECT_EQ(wired.index("B1-B2/2"), 52U);
  EXPECT_EQ(wired.index("B2-C2/4"), 61U);
  EXPECT_EQ(wired.splices(),
            "12 hop 150 mm, 43 jump 420 mm, 51 hop 180 mm, 53 jump 810 mm, 57 hop 180 mm");
}

TEST(SlipWindow, CountsSparesBehindTheFrame) {
  const Wired wired{frame_of(slip_window()),
                    route({"A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"},
                          {{.after = 44, .count = 2}, {.after = 17, .count = 1}})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.map().size(), 63U);
  EXPECT_EQ(wired.map().spare_count(), 3);
  const auto before = [&wired](std::size_t pixel) {
    return wired.map().spares_before(base::PixelIndex::of(pixel));
  };
  EXPECT_EQ(before(1), 0);
  EXPECT_EQ(before(17), 0);
  EXPECT_EQ(before(18), 1);
  EXPECT_EQ(before(44), 1);
  EXPECT_EQ(before(45), 3);
  EXPECT_EQ(before(63), 3);
  // The route is what it was.
  EXPECT_EQ(wired.splices(), as_built().splices());
}

}  // namespace
}  // namespace panewalk::wiring
