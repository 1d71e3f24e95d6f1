#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "prop/frame.hpp"
#include "support/frames.hpp"

/// The odd-count rule: a bar of n stations, both ends counted, has one in its middle only where n
/// is odd; k even panes need n − 1 to be a multiple of k (common practice, no source).
namespace panewalk::prop {
namespace {

using test::frame_of;
using test::panes;
using test::pitch;
using test::refusal;
using test::section;
using test::window;

std::string two_by_two(int columns, int rows) {
  return refusal({section(panes(pitch(columns, 50), pitch(rows, 50), 2, 2))});
}

TEST(Panes, TakeEveryOddCountForHalves) {
  for (int count = 3; count <= 25; count += 2) {
    EXPECT_EQ(two_by_two(count, 3), "") << count;
    EXPECT_EQ(two_by_two(3, count), "") << count;
  }
}

TEST(Panes, NameTheNearestCountsWhereTheMiddleFallsBetweenTwoStations) {
  EXPECT_EQ(two_by_two(12, 13),
            "/sections/0/window/panes/0: 2 even panes side by side need an upright in the middle, "
            "and 12 columns have no middle one; 11 or 13 columns work\n");
  EXPECT_EQ(two_by_two(11, 14),
            "/sections/0/window/panes/1: 2 even panes one above the other need a level in the "
            "middle, and 14 rows have no middle one; 13 or 15 rows work\n");
  EXPECT_EQ(two_by_two(4, 5),
            "/sections/0/window/panes/0: 2 even panes side by side need an upright in the middle, "
            "and 4 columns have no middle one; 3 or 5 columns work\n");
  // One pane of two stations is no two panes: only more work.
  EXPECT_EQ(two_by_two(2, 5),
            "/sections/0/window/panes/0: 2 even panes side by side need an upright in the middle, "
            "and 2 columns have no middle one; 3 columns work\n");
}

TEST(Panes, ReportBothDirectionsAtOnce) {
  EXPECT_EQ(two_by_two(24, 36),
            "/sections/0/window/panes/0: 2 even panes side by side need an upright in the middle, "
            "and 24 columns have no middle one; 23 or 25 columns work\n"
            "/sections/0/window/panes/1: 2 even panes one above the other need a level in the "
            "middle, and 36 rows have no middle one; 35 or 37 rows work\n");
}

TEST(Panes, NameTheNearestCountsForThirds) {
  const auto thirds = [](int columns) {
    return refusal({section(panes(pitch(columns, 50), pitch(3, 50), 3, 2))});
  };
  const auto text = [](int columns, const std::string& work) {
    return "/sections/0/window/panes/0: 3 even panes side by side need 2 uprights at stations, "
           "and " +
           std::to_string(columns) + " columns don't divide so; " + work + " columns work\n";
  };
  for (const int fits : {4, 7, 10, 13, 16, 19}) EXPECT_EQ(thirds(fits), "") << fits;
  EXPECT_EQ(thirds(2), text(2, "4"));
  EXPECT_EQ(thirds(3), text(3, "4"));
  EXPECT_EQ(thirds(5), text(5, "4 or 7"));
  EXPECT_EQ(thirds(6), text(6, "4 or 7"));
  EXPECT_EQ(thirds(8), text(8, "7 or 10"));
  EXPECT_EQ(thirds(12), text(12, "10 or 13"));
  EXPECT_EQ(thirds(24), text(24, "22 or 25"));
}

TEST(Panes, DivideEvenly) {
  const Frame frame = frame_of(panes(pitch(10, 50), pitch(9, 50), 3, 2));
  const WindowGrid& grid = frame.sections().at(0).grid.value();
  EXPECT_EQ(grid.uprights, (std::vector<int>{1, 4, 7, 10}));
  EXPECT_EQ(grid.levels, (std::vector<int>{1, 5, 9}));
}

TEST(Panes, OneByOneIsTheOutlineAtAnyCount) {
  EXPECT_EQ(frame_of(panes(pitch(12, 50), pitch(4, 50), 1, 1)).stations().size(), 28U);
}

TEST(Panes, AreTheSameAsTheUprightsAndLevelsThatTheyMean) {
  const Frame by_panes = frame_of(panes(pitch(11, 90), pitch(13, 80), 2, 2));
  const Frame by_bars = frame_of(window(pitch(11, 90), pitch(13, 80), {6}, {7}));
  ASSERT_EQ(by_panes.stations().size(), by_bars.stations().size());
  for (const Station& station : by_panes.stations()) {
    const auto same = by_bars.find_station(station.name);
    ASSERT_TRUE(same) << station.name;
    EXPECT_EQ(by_bars[*same].at, station.at) << station.name;
  }
}

TEST(Panes, AreRefusedBesideUprightsOrLevels) {
  WindowShape both = panes(pitch(5, 50), pitch(5, 50), 2, 2);
  both.levels = {3};
  EXPECT_EQ(refusal({section(both)}),
            "/sections/0/window/panes: both panes and uprights or levels; one way of the two\n");
}

}  // namespace
}  // namespace panewalk::prop
