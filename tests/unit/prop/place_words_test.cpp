#include "prop/place_words.hpp"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "support/frames.hpp"

// The words are the joiner's: stiles stand, rails lie, mullions and crossbars are between them.
namespace panewalk::prop {
namespace {

using test::at;
using test::deg;
using test::frame_of;
using test::mm;

std::string words(const Frame& frame, const std::string& station, Side side = Side::kFront) {
  const auto index = frame.find_station(station);
  return index ? place_in_words(frame, *index, side) : "no station " + station;
}

std::string from_back(const Frame& frame, const std::string& station) {
  return words(frame, station, Side::kBack);
}

/// Three uprights and three levels between the edges.
Frame sixteen_panes() {
  return frame_of(test::window(test::pitch(13, 50), test::pitch(13, 50), {4, 7, 10}, {4, 7, 10}));
}

TEST(Ordinal, IsSpelledOutUpToTwelfth) {
  EXPECT_EQ(ordinal(1), "first");
  EXPECT_EQ(ordinal(2), "second");
  EXPECT_EQ(ordinal(3), "third");
  EXPECT_EQ(ordinal(4), "fourth");
  EXPECT_EQ(ordinal(8), "eighth");
  EXPECT_EQ(ordinal(9), "ninth");
  EXPECT_EQ(ordinal(12), "twelfth");
  EXPECT_EQ(ordinal(13), "13th");
  EXPECT_EQ(ordinal(20), "20th");
  EXPECT_EQ(ordinal(21), "21st");
  EXPECT_EQ(ordinal(22), "22nd");
  EXPECT_EQ(ordinal(23), "23rd");
  EXPECT_EQ(ordinal(111), "111th");
  EXPECT_EQ(ordinal(112), "112th");
  EXPECT_EQ(ordinal(101), "101st");
}

TEST(PlaceWords, NameTheCornersOfAWindow) {
  const Frame frame = frame_of(test::slip_window());
  EXPECT_EQ(words(frame, "A1"), "top left corner");
  EXPECT_EQ(words(frame, "C1"), "top right corner");
  EXPECT_EQ(words(frame, "A3"), "bottom left corner");
  EXPECT_EQ(words(frame, "C3"), "bottom right corner");
}

TEST(PlaceWords, ExchangeLeftAndRightFromTheBack) {
  const Frame frame = frame_of(test::slip_window());
  EXPECT_EQ(from_back(frame, "A1"), "top right corner");
  EXPECT_EQ(from_back(frame, "C3"), "bottom left corner");
  EXPECT_EQ(from_back(frame, "A1-A2/4"), "right stile, second above the crossbar");
  EXPECT_EQ(from_back(frame, "A1-B1/1"), "top rail, first left of the right corner");
  EXPECT_EQ(from_back(frame, "B2-C2/1"), "crossbar, first left of the mullion");
  EXPECT_EQ(from_back(frame, "A2"), "where the right stile meets the crossbar");
  EXPECT_EQ(from_back(frame, "B2"), "where the mullion crosses the crossbar");
}

TEST(PlaceWords, SayWhereTwoBarsOfAWindowMeet) {
  const Frame frame = frame_of(test::slip_window());
  EXPECT_EQ(words(frame, "A2"), "where the left stile meets the crossbar");
  EXPECT_EQ(words(frame, "C2"), "where the right stile meets the crossbar");
  EXPECT_EQ(words(frame, "B1"), "where the mullion meets the top rail");
  EXPECT_EQ(words(frame, "B3"), "where the mullion meets the bottom rail");
  EXPECT_EQ(words(frame, "B2"), "where the mullion crosses the crossbar");
}

// The left stile's upper half has the places 2 to 6 of 13: five, the third in the middle.
TEST(PlaceWords, CountAnUprightFromItsNearerEnd) {
  const Frame frame = frame_of(test::slip_window());
  EXPECT_EQ(words(frame, "A1-A2/1"), "left stile, first below the top corner");
  EXPECT_EQ(words(frame, "A1-A2/3"), "left stile, third below the top corner");
  EXPECT_EQ(words(frame, "A1-A2/4"), "left stile, second above the crossbar");
  EXPECT_EQ(words(frame, "A2-A3/1"), "left stile, first below the crossbar");
  EXPECT_EQ(words(frame, "C2-C3/5"), "right stile, first above the bottom corner");
  EXPECT_EQ(words(frame, "B1-B2/2"), "mullion, second below the top rail");
  EXPECT_EQ(words(frame, "B2-B3/4"), "mullion, second above the bottom rail");
}

TEST(PlaceWords, CountALevelFromItsNearerEnd) {
  const Frame frame = frame_of(test::slip_window());
  EXPECT_EQ(words(frame, "A1-B1/2"), "top rail, second right of the left corner");
  EXPECT_EQ(words(frame, "A1-B1/3"), "top rail, second left of the mullion");
  EXPECT_EQ(words(frame, "B3-C3/4"), "bottom rail, first left of the right corner");
  EXPECT_EQ(words(frame, "A2-B2/1"), "crossbar, first right of the left stile");
  EXPECT_EQ(words(frame, "B2-C2/2"), "crossbar, second right of the mullion");
}

TEST(PlaceWords, CountMullionsAndCrossbarsWhereThereAreSeveral) {
  const Frame frame = sixteen_panes();
  EXPECT_EQ(words(frame, "B1"), "where the first mullion from the left meets the top rail");
  EXPECT_EQ(words(frame, "C3"), "where the middle mullion crosses the middle crossbar");
  EXPECT_EQ(words(frame, "D4"),
            "where the third mullion from the left crosses the third crossbar from the top");
  EXPECT_EQ(from_back(frame, "D4"),
            "where the first mullion from the left crosses the third crossbar from the top");
  EXPECT_EQ(words(frame, "A1-A2/2"), "left stile, first above the first crossbar from the top");
  EXPECT_EQ(words(frame, "C2-C3/2"), "middle mullion, first above the middle crossbar");
  EXPECT_EQ(words(frame, "D3-E3/1"),
            "middle crossbar, first right of the third mullion from the left");
}

TEST(PlaceWords, AnEvenCountHasNoMiddleOne) {
  const Frame frame = frame_of(test::panes(test::pitch(10, 50), test::pitch(3, 50), 3, 1));
  EXPECT_EQ(words(frame, "B1"), "where the first mullion from the left meets the top rail");
  EXPECT_EQ(words(frame, "C1"), "where the second mullion from the left meets the top rail");
  EXPECT_EQ(from_back(frame, "C1"), "where the first mullion from the left meets the top rail");
}

TEST(PlaceWords, CountALevelLineFromItsLeftAndRightEnds) {
  const Frame frame = frame_of(LineShape{at(0, 0), at(2000, 100), 30});
  EXPECT_EQ(words(frame, "A"), "left end");
  EXPECT_EQ(words(frame, "B"), "right end");
  EXPECT_EQ(words(frame, "A-B/13"), "13th after the left end");
  EXPECT_EQ(words(frame, "A-B/27"), "second after the right end");
  EXPECT_EQ(from_back(frame, "A"), "right end");
  EXPECT_EQ(from_back(frame, "A-B/27"), "second after the left end");
}

TEST(PlaceWords, CountAStandingLineFromItsTopAndBottomEnds) {
  const Frame frame = frame_of(LineShape{at(50, 900), at(0, 0), 10});
  EXPECT_EQ(words(frame, "A"), "bottom end");
  EXPECT_EQ(words(frame, "B"), "top end");
  EXPECT_EQ(words(frame, "A-B/1"), "first after the bottom end");
  EXPECT_EQ(from_back(frame, "A-B/1"), "first after the bottom end");
}

TEST(PlaceWords, CountAnArchAcrossItsJoints) {
  const Frame frame =
      frame_of(ArcShape{at(500, 500), mm(500), deg(180), deg(360), 21, /*joints=*/3});
  EXPECT_EQ(words(frame, "A"), "left end");
  EXPECT_EQ(words(frame, "B"), "tenth after the left end");
  EXPECT_EQ(words(frame, "B-C/1"), "ninth after the right end");
  EXPECT_EQ(from_back(frame, "B"), "tenth after the left end");
  EXPECT_EQ(from_back(frame, "B-C/1"), "ninth after the left end");
}

// 28 places, the first at 3 o'clock: 90 degrees are 7 places, so 3, 6, 9 and 12 are on one, and a
// place is 12/28 of an hour: 3 + 3/7, 3 + 6/7, 4 + 2/7 …
TEST(PlaceWords, TellARingByTheClock) {
  const Frame frame = frame_of(ArcShape{at(300, 300), mm(300), deg(0), deg(360), 28, {}});
  EXPECT_EQ(words(frame, "A"), "ring, at 3 o'clock");
  EXPECT_EQ(words(frame, "A-A/1"), "ring, first after 3 o'clock");
  EXPECT_EQ(words(frame, "A-A/2"), "ring, first before 4 o'clock");
  EXPECT_EQ(words(frame, "A-A/3"), "ring, first after 4 o'clock");
  EXPECT_EQ(words(frame, "A-A/7"), "ring, at 6 o'clock");
  EXPECT_EQ(words(frame, "A-A/21"), "ring, at 12 o'clock");
  EXPECT_EQ(words(frame, "A-A/22"), "ring, first after 12 o'clock");
  EXPECT_EQ(words(frame, "A-A/20"), "ring, first before 12 o'clock");
}

TEST(PlaceWords, RunTheClockTheOtherWayRoundFromTheBack) {
  const Frame frame = frame_of(ArcShape{at(300, 300), mm(300), deg(0), deg(360), 28, {}});
  EXPECT_EQ(from_back(frame, "A"), "ring, at 9 o'clock");
  EXPECT_EQ(from_back(frame, "A-A/1"), "ring, first before 9 o'clock");
  EXPECT_EQ(from_back(frame, "A-A/7"), "ring, at 6 o'clock");
}

// Eight places an hour and a half apart.
TEST(PlaceWords, SayBetweenWhichHoursALonePlaceOfARingLies) {
  const Frame frame = frame_of(ArcShape{at(0, 0), mm(100), deg(270), deg(-90), 8, /*joints=*/4});
  EXPECT_EQ(words(frame, "A"), "ring, at 12 o'clock");
  EXPECT_EQ(words(frame, "A-B/1"), "ring, between 10 and 11 o'clock");
  EXPECT_EQ(words(frame, "B"), "ring, at 9 o'clock");
  EXPECT_EQ(words(frame, "D-A/1"), "ring, between 1 and 2 o'clock");
}

TEST(PlaceWords, CountTheLegsOfAPath) {
  const Frame frame = frame_of(PathShape{{at(0, 1980), at(0, 0), at(914.4, 0)}, {23, 12}});
  EXPECT_EQ(words(frame, "A"), "end A");
  EXPECT_EQ(words(frame, "B"), "corner B");
  EXPECT_EQ(words(frame, "A-B/3"), "first leg, third after end A");
  EXPECT_EQ(words(frame, "A-B/21"), "first leg, first before corner B");
  EXPECT_EQ(words(frame, "B-C/2"), "second leg, second after corner B");
  EXPECT_EQ(words(frame, "B-C/9"), "second leg, second before end C");
  EXPECT_EQ(from_back(frame, "B-C/2"), "second leg, second after corner B");
}

TEST(PlaceWords, FollowTheLastLegOfAClosedPathFromItsLastCorner) {
  const Frame frame = frame_of(PathShape{{at(0, 0), at(500, 0), at(0, 500), at(0, 0)}, {6, 6, 6}});
  EXPECT_EQ(words(frame, "A"), "corner A");
  EXPECT_EQ(words(frame, "C"), "corner C");
  EXPECT_EQ(words(frame, "A-C/1"), "third leg, first before corner A");
  EXPECT_EQ(words(frame, "C-A/1"), "third leg, first after corner C");
}

TEST(PlaceWords, TellFreeBarsByTheirJoints) {
  BarsShape star;
  star.joints = {{"Hub", at(400, 380)}, {"N", at(400, 0)}, {"E", at(800, 380)}};
  star.bars = {{"Hub", "N", 8}, {"E", "Hub", 8}};
  const Frame frame = frame_of(star);
  EXPECT_EQ(words(frame, "Hub"), "at Hub");
  EXPECT_EQ(words(frame, "Hub-N/2"), "between Hub and N, second after Hub");
  EXPECT_EQ(words(frame, "Hub-N/5"), "between Hub and N, second after N");
  EXPECT_EQ(words(frame, "E-Hub/3"), "between E and Hub, third after E");
}

TEST(PlaceWords, NumberPointsInWiringOrder) {
  const Frame frame = frame_of(PointsShape{{at(0, 0), at(10, 5), at(20, 0), at(30, 5)}});
  EXPECT_EQ(words(frame, "P1"), "place 1 in wiring order");
  EXPECT_EQ(words(frame, "P3"), "place 3 in wiring order");
  EXPECT_EQ(words(frame, "P4"), "place 4 in wiring order");
}

TEST(PlaceWords, PutTheSectionInFrontWhereThereAreSeveral) {
  BarsShape bar;
  bar.joints = {{"In", at(0, 0)}, {"Out", at(100, 0)}};
  bar.bars = {{"In", "Out", 3}};
  const Frame frame = frame_of({test::named("W", at(0, 0), test::slip_window()),
                                test::named("E", at(1000, 0), test::slip_window()),
                                test::named("sill", at(0, 1200), bar)});
  EXPECT_EQ(words(frame, "W.A1-A2/2"), "W: left stile, second below the top corner");
  EXPECT_EQ(words(frame, "E.A1"), "E: top left corner");
  EXPECT_EQ(from_back(frame, "E.A1"), "E: top right corner");
  EXPECT_EQ(words(frame, "sill.In-Out/1"), "sill: between In and Out, first after In");
}

}  // namespace
}  // namespace panewalk::prop
