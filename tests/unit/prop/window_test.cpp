#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "prop/frame.hpp"
#include "support/frames.hpp"

namespace panewalk::prop {
namespace {

using test::at;
using test::frame_of;
using test::gaps;
using test::panes;
using test::pitch;
using test::refusal;
using test::section;
using test::size;
using test::slip_window;
using test::window;

Point place(const Frame& frame, const std::string& name) {
  const auto station = frame.find_station(name);
  if (!station) {
    ADD_FAILURE() << "no station " << name;
    return at(-1, -1);
  }
  return frame[*station].at;
}

// Corner sharing: N = V + Σ(s − 1) over the bars, s pitches each (common practice, no source).
TEST(Window, CountsCornersAndCrossingsOnce) {
  // An outline of a × b pitches has 2(a + b) stations.
  EXPECT_EQ(frame_of(window(pitch(2, 50), pitch(2, 50))).stations().size(), 4U);
  EXPECT_EQ(frame_of(window(pitch(11, 90), pitch(13, 90))).stations().size(), 44U);
  // V = 9, four bars of 5 pitches across and two down each side: 9 + 6·4 + 6·5.
  EXPECT_EQ(frame_of(window(pitch(11, 90), pitch(13, 90), {6}, {7})).stations().size(), 63U);
  // Three uprights inside and none level: V = 10, E = 13, 4 pitches a pane across and 6 down.
  EXPECT_EQ(frame_of(window(pitch(17, 90), pitch(7, 90), {5, 9, 13})).stations().size(),
            10U + 8 * 3 + 5 * 5);
}

TEST(Window, OfFourEvenPanesHasNineAndTwelveASidePitch) {
  // 9 + 12 (s − 1) for s pitches a pane side (common practice, no source).
  const std::size_t counts[] = {9, 21, 33, 45, 57, 69};
  for (int s = 1; s <= 6; ++s) {
    const Frame frame = frame_of(panes(pitch(2 * s + 1, 50), pitch(2 * s + 1, 50), 2, 2));
    EXPECT_EQ(frame.stations().size(), counts[s - 1]) << s << " pitches a side";
    EXPECT_EQ(frame.pixel_count(), counts[s - 1]);
  }
}

// V = (m + 1)(n + 1), E = m(n + 1) + n(m + 1) for m × n panes: counted by hand from a drawing.
TEST(Window, HasAJointAtEachCrossingAndABarBetween) {
  struct Case {
    int across, down;
    std::size_t joints, bars;
  };
  for (const Case& c : {Case{1, 1, 4, 4}, Case{2, 1, 6, 7}, Case{3, 1, 8, 10}, Case{2, 2, 9, 12},
                        Case{3, 2, 12, 17}, Case{3, 3, 16, 24}, Case{4, 3, 20, 31}}) {
    const Frame frame =
        frame_of(panes(pitch(3 * c.across + 1, 50), pitch(2 * c.down + 1, 50), c.across, c.down));
    EXPECT_EQ(frame.joints().size(), c.joints) << c.across << " × " << c.down;
    EXPECT_EQ(frame.bars().size(), c.bars) << c.across << " × " << c.down;
  }
}

// Odd junctions 2(m + n − 2): edge tees have three bars. Euler 1736 counts them.
TEST(Window, HasThreeBarsAtATeeTwoAtACornerFourAtACross) {
  const Frame frame = frame_of(slip_window());
  const auto bars = [&frame](const char* joint) {
    return frame[frame.find_joint(joint).value()].bars.size();
  };
  for (const char* corner : {"A1", "C1", "A3", "C3"}) EXPECT_EQ(bars(corner), 2U) << corner;
  for (const char* tee : {"B1", "A2", "C2", "B3"}) EXPECT_EQ(bars(tee), 3U) << tee;
  EXPECT_EQ(bars("B2"), 4U);

  const Frame six = frame_of(panes(pitch(7, 50), pitch(5, 50), 3, 2));
  EXPECT_EQ(std::count_if(six.joints().begin(), six.joints().end(),
                          [](const Joint& joint) { return joint.bars.size() % 2 == 1; }),
            6);
}

TEST(Window, NamesJointsByUprightAndLevel) {
  const Frame frame = frame_of(slip_window());
  EXPECT_EQ(frame.joint_names(),
            (std::vector<std::string>{"A1", "B1", "C1", "A2", "B2", "C2", "A3", "B3", "C3"}));
  EXPECT_EQ(place(frame, "A1"), at(0, 0));
  EXPECT_EQ(place(frame, "B1"), at(450, 0));
  EXPECT_EQ(place(frame, "C1"), at(900, 0));
  EXPECT_EQ(place(frame, "A2"), at(0, 510));
  EXPECT_EQ(place(frame, "B2"), at(450, 510));
  EXPECT_EQ(place(frame, "C3"), at(900, 1020));
}

TEST(Window, CountsPlacesInABarFromItsFirstJoint) {
  const Frame frame = frame_of(slip_window());
  EXPECT_EQ(place(frame, "A1-B1/1"), at(90, 0));
  EXPECT_EQ(place(frame, "A1-B1/4"), at(360, 0));
  EXPECT_EQ(place(frame, "B1-C1/1"), at(540, 0));
  EXPECT_EQ(place(frame, "A1-A2/1"), at(0, 60));
  EXPECT_EQ(place(frame, "A1-A2/5"), at(0, 420));
  EXPECT_EQ(place(frame, "A2-A3/1"), at(0, 600));
  EXPECT_EQ(place(frame, "A2-A3/5"), at(0, 960));
  EXPECT_EQ(place(frame, "B2-C2/3"), at(720, 510));
  EXPECT_FALSE(frame.find_station("A1-B1/0"));
  EXPECT_FALSE(frame.find_station("A1-B1/5"));
  EXPECT_FALSE(frame.find_station("A1-C1/1"));  // a line of two bars, no bar
  EXPECT_FALSE(frame.find_station("D1"));
  EXPECT_FALSE(frame.find_joint("A1-B1/1"));
}

TEST(Window, FindsAStationFromBothEndsOfItsBar) {
  const Frame frame = frame_of(slip_window());
  EXPECT_EQ(frame.find_station("B1-A1/1"), frame.find_station("A1-B1/4"));
  EXPECT_EQ(frame.find_station("B1-A1/4"), frame.find_station("A1-B1/1"));
  EXPECT_EQ(frame.find_station("A3-A2/2"), frame.find_station("A2-A3/4"));
  // The one name is the one in the order of the letters, then the numbers.
  EXPECT_EQ(frame[frame.find_station("B1-A1/1").value()].name, "A1-B1/4");
  EXPECT_EQ(frame[frame.find_station("A3-A2/2").value()].name, "A2-A3/4");
}

TEST(Window, HasOneNameForEachStation) {
  const Frame frame = frame_of(slip_window());
  std::vector<std::string> names;
  for (const Station& station : frame.stations()) names.push_back(station.name);
  std::sort(names.begin(), names.end());
  EXPECT_EQ(std::unique(names.begin(), names.end()), names.end());
}

TEST(Window, SpacesByPitchByGapsAndBySize) {
  const Frame frame = frame_of(window(size(5, 1000), gaps(4, {30, 40, 50})));
  EXPECT_EQ(place(frame, "A1-B1/1"), at(250, 0));
  EXPECT_EQ(place(frame, "A1-B1/3"), at(750, 0));
  EXPECT_EQ(place(frame, "A1-A2/1"), at(0, 30));
  EXPECT_EQ(place(frame, "A1-A2/2"), at(0, 70));
  EXPECT_EQ(place(frame, "B2"), at(1000, 120));
  // The far edge of a size is exact, whatever the gap: 1000 / 3 is not.
  EXPECT_EQ(place(frame_of(window(size(4, 1000), size(8, 1000))), "B2"), at(1000, 1000));
}

TEST(Window, MeasuresBarsAndReachAlongThem) {
  const Frame frame = frame_of(slip_window());
  const auto bars =
      frame.bars_between(frame.find_joint("A3").value(), frame.find_joint("A2").value());
  ASSERT_EQ(bars.size(), 1U);
  const Bar& bar = frame[bars[0]];
  EXPECT_EQ(bar.name, "A2-A3");
  EXPECT_EQ(bar.length.value(), 510);
  ASSERT_EQ(bar.reach.size(), 5U);
  EXPECT_EQ(bar.reach[0].value(), 90);
  EXPECT_EQ(bar.reach[4].value(), 450);
  EXPECT_TRUE(
      frame.bars_between(frame.find_joint("A1").value(), frame.find_joint("A3").value()).empty());
}

TEST(Window, NeighboursAreNextAlongABar) {
  const Frame frame = frame_of(slip_window());
  const auto next_to = [&frame](const std::string& name) {
    std::vector<std::string> found;
    for (const Neighbour& next : frame.neighbours(frame.find_station(name).value())) {
      found.push_back(frame[next.station].name + " " +
                      std::to_string(static_cast<int>(next.along.value())));
    }
    std::sort(found.begin(), found.end());
    return found;
  };
  EXPECT_EQ(next_to("B2"),
            (std::vector<std::string>{"A2-B2/4 90", "B1-B2/5 90", "B2-B3/1 90", "B2-C2/1 90"}));
  EXPECT_EQ(next_to("A1"), (std::vector<std::string>{"A1-A2/1 60", "A1-B1/1 90"}));
  EXPECT_EQ(next_to("A1-A2/1"), (std::vector<std::string>{"A1 60", "A1-A2/2 90"}));
}

TEST(Window, KeepsItsGridForThePanes) {
  const Frame frame = frame_of(slip_window());
  ASSERT_EQ(frame.sections().size(), 1U);
  ASSERT_TRUE(frame.sections()[0].grid);
  const WindowGrid& grid = *frame.sections()[0].grid;
  EXPECT_EQ(grid.uprights, (std::vector<int>{1, 6, 11}));
  EXPECT_EQ(grid.levels, (std::vector<int>{1, 7, 13}));
  EXPECT_EQ(frame[grid.joint(2, 1)].name, "C2");
  EXPECT_EQ(frame.sections()[0].kind, ShapeKind::kWindow);
}

TEST(Window, TakesUprightsInAnyOrder) {
  const Frame frame = frame_of(window(pitch(9, 50), pitch(3, 50), {7, 3}));
  EXPECT_EQ(place(frame, "B1"), at(100, 0));
  EXPECT_EQ(place(frame, "C1"), at(300, 0));
}

TEST(Window, GoesOnWithTwoLettersAfterZ) {
  std::vector<int> every;
  for (int column = 2; column < 30; ++column) every.push_back(column);
  const Frame frame = frame_of(window(pitch(30, 50), pitch(2, 50), every));
  EXPECT_EQ(place(frame, "Z1"), at(1250, 0));
  EXPECT_EQ(place(frame, "AA1"), at(1300, 0));
  EXPECT_EQ(place(frame, "AD2"), at(1450, 50));
}

TEST(Letters, CountLikeColumnsOfASheet) {
  EXPECT_EQ(letters(0), "A");
  EXPECT_EQ(letters(25), "Z");
  EXPECT_EQ(letters(26), "AA");
  EXPECT_EQ(letters(51), "AZ");
  EXPECT_EQ(letters(52), "BA");
  EXPECT_EQ(letters(701), "ZZ");
  EXPECT_EQ(letters(702), "AAA");
}

TEST(WindowRefuses, UprightsAndLevelsThatAreNoPlaceBetweenTheEdges) {
  EXPECT_EQ(refusal({section(window(pitch(5, 50), pitch(7, 50), {1, 3, 3, 5}, {0, 8, -2}))}),
            "/sections/0/window/uprights/0: place 1 is an edge, which always is a bar; name only "
            "the bars between the edges\n"
            "/sections/0/window/uprights/2: place 3 is named twice; once is enough\n"
            "/sections/0/window/uprights/3: place 5 is an edge, which always is a bar; name only "
            "the bars between the edges\n"
            "/sections/0/window/levels/0: there is no place 0 between the edges of 7 rows; 2 to 6\n"
            "/sections/0/window/levels/1: there is no place 8 between the edges of 7 rows; 2 to 6\n"
            "/sections/0/window/levels/2: there is no place -2 between the edges of 7 rows; 2 to "
            "6\n");
}

TEST(WindowRefuses, APlaceBetweenEdgesThatHaveNoneOrOne) {
  EXPECT_EQ(refusal({section(window(pitch(2, 50), pitch(3, 50), {3}, {4}))}),
            "/sections/0/window/uprights/0: there is no place 3 between the edges of 2 columns; "
            "none with 2\n"
            "/sections/0/window/levels/0: there is no place 4 between the edges of 3 rows; only "
            "2\n");
}

TEST(WindowRefuses, AWrongNumberOfGaps) {
  EXPECT_EQ(refusal({section(window(gaps(5, {60, 90, 60}), gaps(3, {60, 90, 60})))}),
            "/sections/0/window/columns/gaps: 3 gaps between 5 stations; 4 are needed\n"
            "/sections/0/window/rows/gaps: 3 gaps between 3 stations; 2 are needed\n");
}

TEST(WindowRefuses, MoreStationsThanAPropMayHave) {
  EXPECT_EQ(refusal({section(window(pitch(9001, 1), pitch(1002, 1)))}),
            "/sections/0/window: 20002 stations; at most 20000 in one prop\n");
  EXPECT_EQ(refusal({section(window(pitch(9000, 1), pitch(1002, 1)))}), "");
}

}  // namespace
}  // namespace panewalk::prop
