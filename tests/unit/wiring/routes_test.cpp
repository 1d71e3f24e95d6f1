#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "support/routes.hpp"

/// Routes on every other shape, and the corners of what a run may say.
namespace panewalk::wiring {
namespace {

using test::at;
using test::deg;
using test::frame_of;
using test::mm;
using test::named;
using test::pitch;
using test::route;
using test::section;
using test::window;
using test::Wired;

prop::Frame ring(int stations, std::optional<int> joints = {}) {
  return frame_of(prop::ArcShape{.centre = at(300, 300),
                                 .radius = mm(300),
                                 .from = deg(0),
                                 .to = deg(360),
                                 .stations = stations,
                                 .joints = joints});
}

/// Four arms of 300 mm with a station each 100 mm.
prop::Frame star(std::vector<std::string> empty = {}) {
  return frame_of({section(
      prop::BarsShape{.joints = {{"Hub", at(400, 400)},
                                 {"N", at(400, 100)},
                                 {"E", at(700, 400)},
                                 {"S", at(400, 700)},
                                 {"W", at(100, 400)}},
                      .bars = {{"Hub", "N", 4}, {"Hub", "E", 4}, {"S", "Hub", 4}, {"Hub", "W", 4}}},
      std::move(empty))});
}

/// Two panes side by side, 7 × 2 places 100 mm apart: the upright in the middle has no place
/// inside.
prop::Frame hatch() { return frame_of(window(pitch(7, 100), pitch(2, 100), {4})); }

TEST(Route, ReachesAStationAlongTheLineThroughOtherJoints) {
  const Wired wired{hatch(), route({"A1-B1/2 C1 C2 A2 A1 A1-B1/1"})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.order(),
            "A1-B1/2 B1 B1-C1/1 B1-C1/2 C1 C2 B2-C2/2 B2-C2/1 B2 A2-B2/2 A2-B2/1 A2 A1 A1-B1/1");
  EXPECT_EQ(wired.splices(), "");
}

TEST(Route, ReachesAStationInTheBarBeyondTheNextJoint) {
  const Wired wired{hatch(), route({"A1 B1-C1/1", "B1-C1/2 C1 C2 (A2)", "A2"})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.order(),
            "A1 A1-B1/1 A1-B1/2 B1 B1-C1/1 B1-C1/2 C1 C2 B2-C2/2 B2-C2/1 B2 A2-B2/2 A2-B2/1 A2");
  EXPECT_EQ(wired.splices(), "");
  EXPECT_EQ(wired.run(6), 2);
  EXPECT_EQ(wired.run(14), 3);
}

TEST(Route, CountsAStationFromTheEndThatItIsWrittenFrom) {
  const Wired wired{hatch(), route({"B1-A1/1 A1", "B1 C1 C2 A2"})};
  EXPECT_EQ(wired.station(1), "A1-B1/2");
  EXPECT_EQ(wired.station(2), "A1-B1/1");
  EXPECT_EQ(wired.station(3), "A1");
  EXPECT_EQ(wired.station(4), "B1");
  // From the corner A1 to B1: three places back along the head.
  EXPECT_EQ(wired.splices(), "3 jump 300 mm");
}

TEST(Route, MayLieInsideOneBarEitherWay) {
  const prop::Frame line =
      frame_of(prop::LineShape{.from = at(0, 0), .to = at(700, 0), .stations = 8});
  const Wired forwards{line, route({"A-B/2 A-B/4", "A-B/1", "(A) A", "A-B/5 B"})};
  EXPECT_EQ(forwards.refusal(),
            "/wiring/route/2: no bar joins A and A; stops of one run follow each other along bars; "
            "end the run here and begin another for a jump\n");
  const Wired wired{line, route({"A-B/2 A-B/4", "A-B/1 A", "B A-B/5"})};
  EXPECT_EQ(wired.order(), "A-B/2 A-B/3 A-B/4 A-B/1 A B A-B/6 A-B/5");
  // 400 to 100, and 0 to 700.
  EXPECT_EQ(wired.splices(), "3 jump 300 mm, 5 jump 700 mm");
  const Wired backwards{line, route({"A-B/4 A-B/2", "A-B/1 A", "A-B/5 B"})};
  EXPECT_EQ(backwards.order(), "A-B/4 A-B/3 A-B/2 A-B/1 A A-B/5 A-B/6 B");
  EXPECT_EQ(backwards.splices(), "5 jump 500 mm");
}

TEST(Ring, GoesRoundWithTheAngleFromItsOneJoint) {
  const Wired wired{ring(28), route({"A (A)"})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.map().size(), 28U);
  EXPECT_EQ(wired.station(1), "A");
  EXPECT_EQ(wired.station(2), "A-A/1");
  EXPECT_EQ(wired.station(28), "A-A/27");
  EXPECT_EQ(wired.splices(), "");
  EXPECT_EQ(wired.map().runs().size(), 1U);
}

TEST(Ring, MayLeaveItsJointToTheEnd) {
  const Wired wired{ring(5), route({"(A) A"})};
  EXPECT_EQ(wired.order(), "A-A/1 A-A/2 A-A/3 A-A/4 A");
  EXPECT_EQ(wired.splices(), "");
}

TEST(Ring, MayBeCutInsideItsBar) {
  // In, out and through the joint with the angle.
  const Wired wired{ring(6), route({"A-A/3 A A-A/2"})};
  EXPECT_EQ(wired.order(), "A-A/3 A-A/4 A-A/5 A A-A/1 A-A/2");
  EXPECT_EQ(wired.splices(), "");
}

TEST(Ring, OfFourJointsNamesItsDirection) {
  const Wired against{ring(28, 4), route({"A D C B (A)"})};
  EXPECT_EQ(against.refusal(), "");
  EXPECT_EQ(against.index("A"), 1U);
  EXPECT_EQ(against.index("D-A/6"), 2U);
  EXPECT_EQ(against.index("D"), 8U);
  EXPECT_EQ(against.index("C"), 15U);
  EXPECT_EQ(against.index("B"), 22U);
  EXPECT_EQ(against.index("A-B/1"), 28U);
  EXPECT_EQ(against.splices(), "");
  const Wired with{ring(28, 4), route({"A B C D A"})};
  EXPECT_EQ(with.index("A-B/1"), 2U);
  EXPECT_EQ(with.index("B"), 8U);
  EXPECT_EQ(with.index("D-A/6"), 28U);
}

TEST(Ring, OfTwoJointsGoesOnAlongTheBarThatIsLeft) {
  const char* all = "A A-B/1 A-B/2 A-B/3 B B-A/1 B-A/2 B-A/3";
  const Wired one{ring(8, 2), route({"A B (A)"})};
  EXPECT_EQ(one.refusal(), "");
  EXPECT_EQ(one.order(), all);
  EXPECT_EQ(one.splices(), "");
  const Wired two{ring(8, 2), route({"A B", "B A"})};
  EXPECT_EQ(two.order(), all);
  EXPECT_EQ(two.splices(), "");
}

TEST(Path, ClosedGoesRoundToItsStart) {
  const prop::Frame gable = frame_of(prop::PathShape{
      .corners = {at(0, 0), at(400, 0), at(400, 300), at(0, 0)}, .stations = {3, 3, 3}});
  const Wired wired{gable, route({"A B C (A)"})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.order(), "A A-B/1 B B-C/1 C A-C/1");
  EXPECT_EQ(wired.splices(), "");
  const Wired other{gable, route({"C B A (C)"})};
  EXPECT_EQ(other.order(), "C B-C/1 B A-B/1 A A-C/1");
}

TEST(Bars, CrossTheHubOnceAndHopItAfterwards) {
  const Wired wired{star(), route({"N Hub E", "S (Hub) W"})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.order(),
            "N Hub-N/2 Hub-N/1 Hub Hub-E/1 Hub-E/2 E S S-Hub/1 S-Hub/2 Hub-W/1 Hub-W/2 W");
  EXPECT_EQ(wired.splices(), "7 jump 600 mm, 10 hop 200 mm");
  // A joint met again is hopped, with or without parentheses.
  EXPECT_EQ((Wired{star(), route({"N Hub E", "S Hub W"})}.order()), wired.order());
}

TEST(Bars, HopTheHubAsOftenAsTheDataMeetsIt) {
  const Wired wired{star(), route({"N (Hub)", "(Hub) E", "S (Hub)", "Hub W"})};
  EXPECT_EQ(wired.refusal(), "");
  // From E back to the hub and out to S; S's arm then reaches the hub itself.
  EXPECT_EQ(wired.splices(), "3 hop 200 mm, 6 jump 600 mm");
  EXPECT_EQ(wired.reached_by(10), "run");
  EXPECT_EQ(wired.station(10), "Hub");
}

TEST(Bars, HopOverAHubWithoutAPixel) {
  const Wired wired{star({"Hub"}), route({"N Hub E", "S Hub W"})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.map().size(), 12U);
  EXPECT_EQ(wired.splices(), "3 hop 200 mm, 6 jump 600 mm, 9 hop 200 mm");
}

TEST(Points, NeedNoRoute) {
  const prop::Frame garland = frame_of(
      prop::PointsShape{.points = {at(0, 0), at(30, 40), at(30, 100), at(110, 100), at(500, 0)}});
  const Wired wired{garland, route({})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.order(), "P1 P2 P3 P4 P5");
  EXPECT_EQ(wired.splices(), "");
  ASSERT_EQ(wired.map().runs().size(), 1U);
  EXPECT_EQ(wired.map().runs()[0].last.value(), 5U);
}

TEST(Points, OfOneStationNeedNone) {
  const Wired wired{frame_of(prop::PointsShape{.points = {at(0, 0)}}), route({})};
  EXPECT_EQ(wired.order(), "P1");
}

TEST(Points, MayBeWiredInAnotherOrder) {
  const Wired wired{
      frame_of(prop::PointsShape{.points = {at(0, 0), at(10, 0), at(20, 0), at(30, 0)}}),
      route({"P3 P4", "P2 P1"})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.order(), "P3 P4 P2 P1");
}

TEST(Points, OfSeveralSectionsFollowEachOther) {
  const Wired wired{frame_of({named("G", at(0, 0), prop::PointsShape{{at(0, 0), at(50, 0)}}),
                              named("H", at(0, 90), prop::PointsShape{{at(50, 0), at(0, 0)}})}),
                    route({})};
  EXPECT_EQ(wired.order(), "G.P1 G.P2 H.P1 H.P2");
  EXPECT_EQ(wired.splices(), "2 jump 90 mm");
  EXPECT_EQ(wired.map().runs().size(), 2U);
}

TEST(Sections, JumpAlongTheBarsToTheClosestJointsAndAcrossTheGap) {
  const prop::Frame casements =
      frame_of({named("W", at(0, 0), window(pitch(3, 100), pitch(3, 100))),
                named("E", at(500, 0), window(pitch(3, 100), pitch(3, 100)))});
  const Wired wired{casements, route({"W.A1 W.B1 W.B2 W.A2 (W.A1)", "E.A1 E.B1 E.B2 E.A2 (E.A1)"})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.order(),
            "W.A1 W.A1-B1/1 W.B1 W.B1-B2/1 W.B2 W.A2-B2/1 W.A2 W.A1-A2/1 "
            "E.A1 E.A1-B1/1 E.B1 E.B1-B2/1 E.B2 E.A2-B2/1 E.A2 E.A1-A2/1");
  // From W.A1-A2/1: 100 up, 200 across to W.B1, 300 over the gap.
  EXPECT_EQ(wired.splices(), "8 jump 600 mm");
  const Wired other{casements, route({"W.A1 W.B1 W.B2 W.A2 (W.A1)", "E.B2 E.A2 E.A1 E.B1 (E.B2)"})};
  // The lower gap is as wide and here the shorter way: 100, 200, 300, 200.
  EXPECT_EQ(other.splices(), "8 jump 800 mm");
}

TEST(ReachedBy, IsWrittenAsInTheMap) {
  EXPECT_EQ(to_text(ReachedBy::kLeadIn), "lead-in");
  EXPECT_EQ(to_text(ReachedBy::kRun), "run");
  EXPECT_EQ(to_text(ReachedBy::kHop), "hop");
  EXPECT_EQ(to_text(ReachedBy::kJump), "jump");
}

TEST(Hop, IsNotOverAPlaceThatHasItsPixel) {
  const Wired wired{frame_of(prop::LineShape{.from = at(0, 0), .to = at(400, 0), .stations = 5}),
                    route({"A", "A-B/2 B", "A-B/1"})};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.splices(), "1 jump 200 mm, 4 jump 300 mm");
}

TEST(Hop, IsOverOneJointAndNoFurther) {
  const prop::Frame square = frame_of(window(pitch(4, 100), pitch(4, 100)));
  const Wired round{square, route({"(A1) B1 B2 A2 (A1)", "A1"})};
  EXPECT_EQ(round.splices(), "");
  // A1 is the neighbour of the pixel before it; A2 at its other end of the stile is three places
  // off.
  const Wired far{square, route({"(A1) B1 B2 (A2)", "(A2) A1", "A2"})};
  EXPECT_EQ(far.refusal(), "");
  EXPECT_EQ(far.splices(), "8 hop 200 mm, 11 jump 300 mm");
}

}  // namespace
}  // namespace panewalk::wiring
