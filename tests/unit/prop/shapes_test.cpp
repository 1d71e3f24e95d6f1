#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "prop/frame.hpp"
#include "support/frames.hpp"

namespace panewalk::prop {
namespace {

using test::at;
using test::deg;
using test::frame_of;
using test::mm;
using test::refusal;
using test::section;

constexpr double kRounding = 1e-9;  // mm

void expect_place(const Frame& frame, const std::string& name, double x, double y) {
  const auto station = frame.find_station(name);
  ASSERT_TRUE(station) << name;
  EXPECT_NEAR(frame[*station].at.x.value(), x, kRounding) << name;
  EXPECT_NEAR(frame[*station].at.y.value(), y, kRounding) << name;
}

std::vector<std::string> bar_names(const Frame& frame) {
  std::vector<std::string> names;
  for (const Bar& bar : frame.bars()) names.push_back(bar.name);
  return names;
}

ArcShape arc(double from, double to, int stations, std::optional<int> joints = {}) {
  return {.centre = at(300, 300),
          .radius = mm(300),
          .from = deg(from),
          .to = deg(to),
          .stations = stations,
          .joints = joints};
}

TEST(Line, RunsFromAToBWithBothEndsCounted) {
  const Frame frame = frame_of(LineShape{.from = at(0, 0), .to = at(2000, 500), .stations = 6});
  EXPECT_EQ(frame.stations().size(), 6U);
  EXPECT_EQ(frame.joint_names(), (std::vector<std::string>{"A", "B"}));
  EXPECT_EQ(frame.sections()[0].kind, ShapeKind::kLine);
  expect_place(frame, "A", 0, 0);
  expect_place(frame, "A-B/1", 400, 100);
  expect_place(frame, "B-A/1", 1600, 400);
  expect_place(frame, "B", 2000, 500);
}

TEST(Line, OfTwoStationsHasNoneBetween) {
  const Frame frame = frame_of(LineShape{.from = at(0, 0), .to = at(80, 0), .stations = 2});
  EXPECT_EQ(frame.stations().size(), 2U);
  EXPECT_EQ(frame.neighbours(frame.find_station("A").value()).front().along.value(), 80);
}

TEST(Line, IsRefusedWithoutLength) {
  EXPECT_EQ(refusal({section(LineShape{.from = at(5, 5), .to = at(5, 5), .stations = 3})}),
            "/sections/0/line/to: the line ends where it begins; two different points\n");
}

TEST(Arc, GrowsClockwiseFromTheRightAsSeenFromTheFront) {
  // A quarter turn from the right ends at the bottom: y is down.
  const Frame frame = frame_of(arc(0, 90, 4));
  EXPECT_EQ(frame.stations().size(), 4U);
  EXPECT_EQ(frame.sections()[0].kind, ShapeKind::kArc);
  expect_place(frame, "A", 600, 300);
  expect_place(frame, "A-B/1", 300 + 300 * 0.8660254037844386, 450);  // cos 30°, sin 30°
  expect_place(frame, "A-B/2", 450, 300 + 300 * 0.8660254037844386);
  expect_place(frame, "B", 300, 600);
}

TEST(Arc, RunsTheOtherWayWhereToIsLess) {
  const Frame frame = frame_of(arc(0, -90, 4));
  expect_place(frame, "A", 600, 300);
  expect_place(frame, "A-B/1", 300 + 300 * 0.8660254037844386, 150);
  expect_place(frame, "B", 300, 0);
}

TEST(Arc, IsMeasuredAlongTheCurve) {
  const Frame frame = frame_of(arc(0, 180, 5));
  // Half of 2πr with r = 300 mm.
  EXPECT_NEAR(frame.bars()[0].length.value(), 942.4777960769379, kRounding);
  EXPECT_NEAR(frame.bars()[0].reach[1].value(), 471.23889803846896, kRounding);
}

TEST(Arc, TakesEvenJointsAlongIt) {
  const Frame frame = frame_of(arc(180, 360, 7, 4));
  EXPECT_EQ(frame.joint_names(), (std::vector<std::string>{"A", "B", "C", "D"}));
  EXPECT_EQ(bar_names(frame), (std::vector<std::string>{"A-B", "B-C", "C-D"}));
  EXPECT_EQ(frame.stations().size(), 7U);
  expect_place(frame, "A", 0, 300);
  expect_place(frame, "B", 150, 300 - 300 * 0.8660254037844386);  // 240°
  expect_place(frame, "B-C/1", 300, 0);
  expect_place(frame, "D", 600, 300);
}

TEST(Ring, SpreadsItsStationsEvenlyWithNoneTwice) {
  const Frame frame = frame_of(arc(0, 360, 28));
  EXPECT_EQ(frame.stations().size(), 28U);
  EXPECT_EQ(frame.sections()[0].kind, ShapeKind::kRing);
  EXPECT_EQ(frame.joint_names(), std::vector<std::string>{"A"});
  EXPECT_EQ(bar_names(frame), std::vector<std::string>{"A-A"});
  expect_place(frame, "A", 600, 300);
  expect_place(frame, "A-A/7", 300, 600);
  expect_place(frame, "A-A/14", 0, 300);
  expect_place(frame, "A-A/21", 300, 0);
  EXPECT_FALSE(frame.find_station("A-A/28"));
  // 2π · 300 mm / 28 between neighbours, the last and the joint too.
  for (const Station& station : frame.stations()) {
    const auto& next = frame.neighbours(frame.find_station(station.name).value());
    ASSERT_EQ(next.size(), 2U) << station.name;
    EXPECT_NEAR(next[0].along.value(), 67.3198425769241, kRounding) << station.name;
    EXPECT_NEAR(next[1].along.value(), 67.3198425769241, kRounding) << station.name;
  }
}

TEST(Ring, GoesTheOtherWayRoundWhereToIsLess) {
  const Frame frame = frame_of(arc(90, -270, 4));
  EXPECT_EQ(frame.sections()[0].kind, ShapeKind::kRing);
  expect_place(frame, "A", 300, 600);
  expect_place(frame, "A-A/1", 600, 300);
  expect_place(frame, "A-A/2", 300, 0);
  expect_place(frame, "A-A/3", 0, 300);
}

TEST(Ring, OfFourJointsHasFourBarsInTheOrderOfTheAngle) {
  const Frame frame = frame_of(arc(0, 360, 28, 4));
  EXPECT_EQ(frame.joint_names(), (std::vector<std::string>{"A", "B", "C", "D"}));
  EXPECT_EQ(bar_names(frame), (std::vector<std::string>{"A-B", "B-C", "C-D", "D-A"}));
  EXPECT_EQ(frame.stations().size(), 28U);
  expect_place(frame, "B", 300, 600);
  expect_place(frame, "C", 0, 300);
  expect_place(frame, "D", 300, 0);
  // "A-D/1" is the same bar from its other end.
  EXPECT_EQ(frame[frame.find_station("A-D/1").value()].name, "D-A/6");
}

TEST(Ring, OfTwoJointsHasTwoBarsBetweenThem) {
  const Frame frame = frame_of(arc(0, 360, 8, 2));
  EXPECT_EQ(bar_names(frame), (std::vector<std::string>{"A-B", "B-A"}));
  expect_place(frame, "A-B/2", 300, 600);
  expect_place(frame, "B-A/2", 300, 0);
  EXPECT_EQ(frame.bars_between(frame.find_joint("A").value(), frame.find_joint("B").value()).size(),
            2U);
}

TEST(Ring, IsARingAtEveryAngleThatAPersonWrites) {
  // 512.2 − 152.2 is 360.00000000000006 in binary, 512.3 − 152.3 is 359.99999999999994.
  for (const double from : {152.2, 152.3, 0.1, -0.1, -179.7}) {
    const Frame frame = frame_of(arc(from, from + 360, 28));
    EXPECT_EQ(frame.sections().at(0).kind, ShapeKind::kRing) << from;
    EXPECT_EQ(frame.stations().size(), 28U) << from;
  }
  EXPECT_EQ(frame_of(arc(152.2, 512.2, 28)).sections().at(0).kind, ShapeKind::kRing);
  EXPECT_EQ(frame_of(arc(152.3, 512.3, 28)).sections().at(0).kind, ShapeKind::kRing);
  EXPECT_EQ(frame_of(arc(512.2, 152.2, 28)).sections().at(0).kind, ShapeKind::kRing);
  EXPECT_EQ(frame_of(arc(0, 359.99, 28)).sections().at(0).kind, ShapeKind::kArc);
}

TEST(ArcRefuses, NoTurnAndMoreThanAFullOne) {
  EXPECT_EQ(refusal({section(arc(90, 90, 8))}),
            "/sections/0/arc/to: the arc ends where it begins; up to 360 deg from the start, "
            "either way round\n");
  EXPECT_EQ(refusal({section(arc(0, -361, 8))}),
            "/sections/0/arc/to: more than a full turn; up to 360 deg from the start, either way "
            "round\n");
}

TEST(ArcRefuses, JointsThatDontFallOnStations) {
  EXPECT_EQ(refusal({section(arc(0, 360, 28, 3))}),
            "/sections/0/arc/joints: 3 even joints don't fall on 28 stations; 27 or 30 stations "
            "work\n");
  EXPECT_EQ(refusal({section(arc(0, 180, 8, 4))}),
            "/sections/0/arc/joints: 4 even joints don't fall on 8 stations; 7 or 10 stations "
            "work\n");
  EXPECT_EQ(refusal({section(arc(0, 360, 3, 4))}),
            "/sections/0/arc/joints: 4 even joints don't fall on 3 stations; 4 stations work\n");
  EXPECT_EQ(refusal({section(arc(0, 180, 8, 1))}),
            "/sections/0/arc/joints: 1 joint; an arc has its two ends, or more\n");
  EXPECT_EQ(refusal({section(arc(0, 360, 8, 0))}),
            "/sections/0/arc/joints: 0 joints; a ring has one, or more\n");
}

TEST(Path, TurnsAtItsCorners) {
  const Frame frame =
      frame_of(PathShape{.corners = {at(0, 1980), at(0, 0), at(914.4, 0)}, .stations = {23, 12}});
  // 23 + 12 with the corner between counted once.
  EXPECT_EQ(frame.stations().size(), 34U);
  EXPECT_EQ(frame.sections()[0].kind, ShapeKind::kPath);
  EXPECT_EQ(bar_names(frame), (std::vector<std::string>{"A-B", "B-C"}));
  expect_place(frame, "A", 0, 1980);
  expect_place(frame, "A-B/1", 0, 1890);
  expect_place(frame, "B", 0, 0);
  expect_place(frame, "B-C/5", 914.4 * 5 / 11, 0);
  expect_place(frame, "C", 914.4, 0);
}

PathShape gable(Point last) {
  return {.corners = {at(0, 0), at(400, 0), at(400, 300), last}, .stations = {5, 4, 6}};
}

TEST(Path, ClosesWhereTheLastCornerIsTheFirst) {
  const Frame frame = frame_of(gable(at(0, 0)));
  EXPECT_EQ(frame.joint_names(), (std::vector<std::string>{"A", "B", "C"}));
  EXPECT_EQ(frame.stations().size(), 12U);
  // Named in the order of the letters, counted from A: the hypotenuse is 500 mm, 100 mm a place.
  EXPECT_EQ(bar_names(frame), (std::vector<std::string>{"A-B", "B-C", "A-C"}));
  expect_place(frame, "A-C/1", 80, 60);
  expect_place(frame, "C-A/1", 320, 240);
  EXPECT_EQ(frame[frame.find_station("C-A/1").value()].name, "A-C/4");
}

TEST(Path, ClosesThoughTheCornersAreWrittenInOtherUnits) {
  // 3 ft is 914.4000000000001 mm in binary where 36 in is 914.4.
  const Frame frame =
      frame_of(PathShape{.corners = {at(3 * 304.8, 0), at(0, 0), at(0, 500), at(36 * 25.4, 0)},
                         .stations = {4, 4, 4}});
  EXPECT_EQ(frame.joints().size(), 3U);
  EXPECT_EQ(frame.stations().size(), 9U);
}

TEST(PathRefuses, WhatIsNoPath) {
  EXPECT_EQ(refusal({section(PathShape{.corners = {at(0, 0)}, .stations = {}})}),
            "/sections/0/path/corners: a path without a leg; two or more\n");
  EXPECT_EQ(refusal({section(PathShape{.corners = {}, .stations = {3}})}),
            "/sections/0/path/corners: a path without a leg; two or more\n");
  EXPECT_EQ(refusal({section(PathShape{.corners = {at(0, 0), at(90, 0), at(90, 0), at(0, 90)},
                                       .stations = {3, 3}})}),
            "/sections/0/path/stations: 2 counts for 3 legs; one a leg\n"
            "/sections/0/path/corners/2: the same place as the corner before; corners that follow "
            "each other differ\n");
  EXPECT_EQ(
      refusal({section(PathShape{.corners = {at(0, 0), at(90, 0), at(0, 0)}, .stations = {3, 4}})}),
      "/sections/0/path/corners/2: the path goes back on itself; a closed path has three legs or "
      "more\n");
  EXPECT_EQ(refusal({section(PathShape{.corners = {at(0, 0), at(100, 0), at(100, 100), at(50, 0)},
                                       .stations = {3, 3, 3}})}),
            "/sections/0/path: D and A-B/1 are at the same place; each station has its own\n");
}

BarsShape star() {
  return {.joints = {{"Hub", at(400, 380)}, {"N", at(400, 0)}, {"E", at(800, 380)}},
          .bars = {{"Hub", "N", 8}, {"E", "Hub", 5}}};
}

TEST(Bars, KeepTheirOwnNamesInTheOrderOfTheFile) {
  const Frame frame = frame_of(star());
  EXPECT_EQ(frame.stations().size(), 12U);
  EXPECT_EQ(frame.sections()[0].kind, ShapeKind::kBars);
  EXPECT_EQ(bar_names(frame), (std::vector<std::string>{"Hub-N", "E-Hub"}));
  expect_place(frame, "Hub", 400, 380);
  expect_place(frame, "E-Hub/1", 700, 380);
  expect_place(frame, "Hub-E/1", 500, 380);
  EXPECT_EQ(frame[frame.find_station("Hub-E/1").value()].name, "E-Hub/3");
}

TEST(BarsRefuse, EachFaultByItself) {
  BarsShape faulty = star();
  faulty.joints.push_back({"Stern", at(0, 0)});
  faulty.bars.push_back({"Hub", "Nord", 4});
  faulty.bars.push_back({"hub", "N", 4});
  faulty.bars.push_back({"N", "N", 4});
  faulty.bars.push_back({"N", "Hub", 4});
  EXPECT_EQ(refusal({section(faulty)}),
            "/sections/0/bars/bars/2/to: no joint is named \"Nord\"; allowed: \"Hub\", \"N\", "
            "\"E\" or \"Stern\"\n"
            "/sections/0/bars/bars/3/from: no joint is named \"hub\"; did you mean \"Hub\"?\n"
            "/sections/0/bars/bars/4/to: the bar ends where it begins; two different joints\n"
            "/sections/0/bars/bars/5: bar 1 joins N and Hub already; one straight bar between two "
            "joints\n"
            "/sections/0/bars/joints/Stern: no bar ends at joint \"Stern\"; a bar to it, or no "
            "joint\n");
}

TEST(BarsRefuse, NoBars) {
  EXPECT_EQ(refusal({section(BarsShape{})}), "/sections/0/bars/bars: no bars; one or more\n");
}

TEST(BarsRefuse, TwoJointsAtOnePlace) {
  BarsShape faulty = star();
  faulty.joints[2].at = at(400, 0);
  faulty.bars[1].stations = 8;
  EXPECT_EQ(refusal({section(faulty)}),
            "/sections/0/bars: N and E are at the same place, and 6 more pairs of stations; each "
            "station has its own\n");
}

TEST(Points, AreNamedInTheirOrder) {
  const Frame frame =
      frame_of(PointsShape{.points = {at(0, 0), at(30, 40), at(30, 100), at(110, 100)}});
  EXPECT_EQ(frame.stations().size(), 4U);
  EXPECT_EQ(frame.sections()[0].kind, ShapeKind::kPoints);
  expect_place(frame, "P1", 0, 0);
  expect_place(frame, "P2", 30, 40);
  expect_place(frame, "P3", 30, 100);
  expect_place(frame, "P4", 110, 100);
  EXPECT_FALSE(frame.find_station("P5"));
  EXPECT_FALSE(frame.find_station("P0"));
  EXPECT_EQ(frame[frame.find_station("P3").value()].name, "P3");
}

TEST(Points, MayBeOneOrTwo) {
  EXPECT_EQ(frame_of(PointsShape{.points = {at(7, 8)}}).stations().at(0).name, "P1");
  const Frame two = frame_of(PointsShape{.points = {at(0, 0), at(3, 4)}});
  EXPECT_EQ(two.neighbours(two.find_station("P1").value()).front().along.value(), 5);
}

TEST(PointsRefuse, NoneAndTwoAtOnePlace) {
  EXPECT_EQ(refusal({section(PointsShape{})}),
            "/sections/0/points: no points; one line a station\n");
  EXPECT_EQ(refusal({section(PointsShape{.points = {at(0, 0), at(9, 0), at(0, 0.005)}})}),
            "/sections/0/points: P1 and P3 are at the same place; each station has its own\n");
}

TEST(Shape, IsNamedAsInTheFile) {
  EXPECT_EQ(shape_name(WindowShape{}), "window");
  EXPECT_EQ(shape_name(LineShape{}), "line");
  EXPECT_EQ(shape_name(ArcShape{}), "arc");
  EXPECT_EQ(shape_name(PathShape{}), "path");
  EXPECT_EQ(shape_name(BarsShape{}), "bars");
  EXPECT_EQ(shape_name(PointsShape{}), "points");
}

}  // namespace
}  // namespace panewalk::prop
