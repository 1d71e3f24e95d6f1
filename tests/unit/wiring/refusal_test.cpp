#include <gtest/gtest.h>

#include <optional>
#include <string>
#include <vector>

#include "support/routes.hpp"

/// What a route may not be, each text whole.
namespace panewalk::wiring {
namespace {

using test::at;
using test::frame_of;
using test::named;
using test::panes;
using test::pitch;
using test::route;
using test::slip_window;
using test::window;
using test::Wired;

const std::vector<std::string> kGood{"A3 A1 C1 C3 (A3)", "(B3) B2 (B1)", "(A2) (B2)", "(B2) (C2)"};

Wired slip(std::vector<std::string> runs, std::vector<Spares> spares = {}) {
  return {frame_of(slip_window()), route(std::move(runs), std::move(spares))};
}

/// The good route with another first run.
Wired first_run(const std::string& run) { return slip({run, kGood[1], kGood[2], kGood[3]}); }

std::optional<int> offset(const Wired& wired) {
  if (wired.problems().empty()) return std::nullopt;
  return wired.problems()[0].within;
}

TEST(RouteRefuses, AnUnknownJoint) {
  const Wired wired = first_run("A3 A1 C1 D3 (A3)");
  EXPECT_EQ(wired.refusal(),
            "/wiring/route/0: no joint is named \"D3\"; joints: A1, B1, C1, A2, B2, C2, A3, B3 and "
            "C3\n");
  EXPECT_EQ(offset(wired), 9);
}

TEST(RouteRefuses, AnUnknownJointInParenthesesWithoutThem) {
  const Wired wired = first_run("A3 A1 C1 C3 (A4)");
  EXPECT_EQ(wired.refusal(),
            "/wiring/route/0: no joint is named \"A4\"; joints: A1, B1, C1, A2, B2, C2, A3, B3 and "
            "C3\n");
  EXPECT_EQ(offset(wired), 12);
}

TEST(RouteRefuses, ASmallLetterAndAsksForTheCapital) {
  const Wired wired = first_run("A3  a1 C1 C3 (A3)");
  EXPECT_EQ(wired.refusal(), "/wiring/route/0: no joint is named \"a1\"; did you mean A1?\n");
  EXPECT_EQ(offset(wired), 4);
}

TEST(RouteRefuses, AnUnknownJointOfManyWithTheFirstAndTheLast) {
  const Wired wired{frame_of(panes(pitch(7, 50), pitch(7, 50), 3, 3)), route({"A1 F7"})};
  EXPECT_EQ(wired.refusal(), "/wiring/route/0: no joint is named \"F7\"; joints: A1 to D4\n");
}

TEST(RouteRefuses, EveryUnknownJointAtOnce) {
  const Wired wired = slip({"A3 D1 C1 E3", "(B3) B2 (B1)", "Q2 (B2)"});
  const std::string known = "; joints: A1, B1, C1, A2, B2, C2, A3, B3 and C3\n";
  EXPECT_EQ(wired.refusal(), "/wiring/route/0: no joint is named \"D1\"" + known +
                                 "/wiring/route/0: no joint is named \"E3\"" + known +
                                 "/wiring/route/2: no joint is named \"Q2\"" + known);
}

TEST(RouteRefuses, AJointWithoutItsSection) {
  const Wired wired{frame_of({named("W", at(0, 0), prop::LineShape{at(0, 0), at(50, 0), 3}),
                              named("E", at(0, 90), prop::LineShape{at(0, 0), at(50, 0), 3})}),
                    route({"A B", "E.A E.B"})};
  EXPECT_EQ(wired.refusal(),
            "/wiring/route/0: no joint is named \"A\"; joints: W.A, W.B, E.A and E.B\n"
            "/wiring/route/0: no joint is named \"B\"; joints: W.A, W.B, E.A and E.B\n");
}

TEST(RouteRefuses, APlaceThatABarLacks) {
  const Wired wired = first_run("A3 A1 A1-B1/5");
  EXPECT_EQ(wired.refusal(),
            "/wiring/route/0: A1-B1 has no station 5; 1 to 4, joints not counted\n");
  EXPECT_EQ(offset(wired), 6);
  EXPECT_EQ(first_run("A3 A1 B1-A1/0").refusal(),
            "/wiring/route/0: A1-B1 has no station 0; 1 to 4, joints not counted\n");
}

TEST(RouteRefuses, APlaceInABarThatIsNone) {
  const Wired wired = first_run("A3 A1 A1-C1/2");
  EXPECT_EQ(wired.refusal(),
            "/wiring/route/0: no station is named \"A1-C1/2\"; two joints of one bar and a place, "
            "such as A1-B1/3\n");
  EXPECT_EQ(offset(wired), 6);
}

TEST(RouteRefuses, ParenthesesThatDontClose) {
  EXPECT_EQ(first_run("A3 A1 C1 C3 (A3").refusal(),
            "/wiring/route/0: \"(A3\" is no joint; a joint, such as A1, or a joint in parentheses, "
            "such as (A1)\n");
  EXPECT_EQ(first_run("A3 A1 C1 C3(A3)").refusal(),
            "/wiring/route/0: \"C3(A3)\" is no joint; a joint, such as A1, or a joint in "
            "parentheses, such as (A1)\n");
  const Wired spaced = first_run("A3 ( A1 )");
  EXPECT_EQ(spaced.refusal(),
            "/wiring/route/0: \"(\" is no joint; a joint, such as A1, or a joint in parentheses, "
            "such as (A1)\n"
            "/wiring/route/0: \")\" is no joint; a joint, such as A1, or a joint in parentheses, "
            "such as (A1)\n");
  EXPECT_EQ(offset(spaced), 3);
  EXPECT_EQ(first_run("A3 ()").refusal(),
            "/wiring/route/0: \"()\" is no joint; a joint, such as A1, or a joint in parentheses, "
            "such as (A1)\n");
}

TEST(RouteRefuses, ParenthesesRoundAPlaceInABar) {
  const Wired wired = first_run("A3 A1 (A1-B1/2)");
  EXPECT_EQ(wired.refusal(),
            "/wiring/route/0: \"(A1-B1/2)\" is inside a bar; only joints can be passed by in "
            "parentheses\n");
  EXPECT_EQ(offset(wired), 6);
}

TEST(RouteRefuses, APlaceInABarInTheMiddleOfARun) {
  const Wired wired = first_run("A3 A1 A1-B1/2 C1 C3 (A3)");
  EXPECT_EQ(wired.refusal(),
            "/wiring/route/0: A1-B1/2 is inside a bar and in the middle of a run; a run starts or "
            "ends inside a bar, or passes joints\n");
  EXPECT_EQ(offset(wired), 6);
}

TEST(RouteRefuses, JointsThatNoBarJoins) {
  const std::string remedy =
      "; stops of one run follow each other along one upright or level; end the run here and begin "
      "another for a jump\n";
  const Wired wired = first_run("A3 A1 C1 (B2) C3");
  EXPECT_EQ(wired.refusal(), "/wiring/route/0: no bar joins C1 and B2" + remedy);
  EXPECT_EQ(offset(wired), 9);
  EXPECT_EQ(first_run("A3 B1-B2/3").refusal(),
            "/wiring/route/0: no bar joins A3 and B1-B2/3" + remedy);
  EXPECT_EQ(first_run("B1-B2/3 A3").refusal(),
            "/wiring/route/0: no bar joins B1-B2/3 and A3" + remedy);
  EXPECT_EQ(first_run("A1-B1/3 B1-B2/3").refusal(),
            "/wiring/route/0: no bar joins A1-B1/3 and B1-B2/3" + remedy);
  EXPECT_EQ(first_run("A3 A3").refusal(), "/wiring/route/0: no bar joins A3 and A3" + remedy);
}

TEST(RouteRefuses, JointsThatNoBarJoinsElsewhereThanInAWindow) {
  const prop::Frame path =
      frame_of(prop::PathShape{.corners = {at(0, 0), at(100, 0), at(200, 0)}, .stations = {3, 3}});
  // Though they lie in one line: only a window's joints may be left out.
  const Wired wired{path, route({"A C"})};
  EXPECT_EQ(wired.refusal(),
            "/wiring/route/0: no bar joins A and C; stops of one run follow each other along bars; "
            "end the run here and begin another for a jump\n");
  EXPECT_EQ(offset(wired), 2);
}

TEST(RouteRefuses, JointsOfTwoSectionsInOneRun) {
  const Wired wired{frame_of({named("W", at(0, 0), window(pitch(3, 50), pitch(3, 50))),
                              named("E", at(200, 0), window(pitch(3, 50), pitch(3, 50)))}),
                    route({"W.B1 E.A1"})};
  EXPECT_EQ(wired.refusal(),
            "/wiring/route/0: no bar joins W.B1 and E.A1; stops of one run follow each other along "
            "one upright or level; end the run here and begin another for a jump\n");
}

TEST(RouteRefuses, AStationVisitedTwice) {
  const Wired wired = slip({kGood[0], kGood[1], kGood[2], kGood[3], "A1 A1-B1/1"});
  EXPECT_EQ(wired.refusal(),
            "/wiring/route/4: A1-B1/1 is visited twice, first by run 1; each station is visited "
            "once\n");
  EXPECT_EQ(offset(wired), 3);
}

TEST(RouteRefuses, ManyStationsVisitedTwiceAndNamesTheFirstEight) {
  const Wired wired = slip({kGood[0], kGood[1], kGood[2], kGood[3], "(B2) (A2) A1"});
  EXPECT_EQ(wired.refusal(),
            "/wiring/route/4: A2-B2/4, A2-B2/3, A2-B2/2, A2-B2/1, A1-A2/5, A1-A2/4, A1-A2/3, "
            "A1-A2/2 and 1 more are visited twice, first by run 3; each station is visited once\n");
  EXPECT_EQ(offset(wired), 5);
}

TEST(RouteRefuses, AStationVisitedTwiceByOneRun) {
  const Wired wired = slip({kGood[0], "(B3) B2 (B1) B2", kGood[2], kGood[3]});
  EXPECT_EQ(wired.refusal(),
            "/wiring/route/1: B1-B2/1, B1-B2/2, B1-B2/3, B1-B2/4 and B1-B2/5 are visited twice, "
            "first by run 2; each station is visited once\n");
  EXPECT_EQ(offset(wired), 13);
}

TEST(RouteRefuses, StationsThatNoRunVisits) {
  EXPECT_EQ(slip({kGood[0], kGood[1], kGood[2]}).refusal(),
            "/wiring/route: B2-C2/1, B2-C2/2, B2-C2/3 and B2-C2/4 are visited by no run; each "
            "station is visited once; list it under \"empty\" if it has no pixel\n");
  EXPECT_EQ(slip({kGood[0], "(B3) (B2) (B1)", kGood[2], kGood[3]}).refusal(),
            "/wiring/route: B2 is visited by no run; each station is visited once; list it under "
            "\"empty\" if it has no pixel\n");
}

TEST(RouteRefuses, BothWhatIsDoubledAndWhatIsMissed) {
  // The left half of the level written twice, the right one forgotten.
  EXPECT_EQ(slip({kGood[0], kGood[1], kGood[2], "(B2) (A2)"}).refusal(),
            "/wiring/route/3: A2-B2/4, A2-B2/3, A2-B2/2 and A2-B2/1 are visited twice, first by "
            "run 3; each station is visited once\n"
            "/wiring/route: B2-C2/1, B2-C2/2, B2-C2/3 and B2-C2/4 are visited by no run; each "
            "station is visited once; list it under \"empty\" if it has no pixel\n");
}

TEST(RouteRefuses, ARunThatTakesNothing) {
  const std::string text =
      "/wiring/route/4: this run takes no pixel; leave it out, or name a joint without "
      "parentheses\n";
  for (const char* run : {"(A1)", "A1", "B2", "(B2)"}) {
    EXPECT_EQ(slip({kGood[0], kGood[1], kGood[2], kGood[3], run}).refusal(), text) << run;
  }
}

TEST(RouteRefuses, ARunWithoutWords) {
  for (const char* run : {"", "   "}) {
    EXPECT_EQ(slip({kGood[0], kGood[1], kGood[2], kGood[3], run}).refusal(),
              "/wiring/route/4: an empty run; joints, such as \"A1 B1\"\n");
  }
}

TEST(RouteRefuses, NoRoute) {
  EXPECT_EQ(slip({}).refusal(),
            "/wiring: no route; a list of runs, such as \"route\": [\"A1 B1\"]; only a prop of "
            "points needs none\n");
}

TEST(RouteRefuses, SparesAfterNoPixelAndTwiceAfterOne) {
  const Wired wired = slip(kGood, {{.after = 0, .count = 1},
                                   {.after = 63, .count = 2},
                                   {.after = 64, .count = 1},
                                   {.after = 63, .count = 1}});
  EXPECT_EQ(wired.refusal(),
            "/wiring/spares/0/after: there is no pixel 0; 1 to 63; pixels before pixel 1 are the "
            "site's nulls\n"
            "/wiring/spares/2/after: there is no pixel 64; 1 to 63; pixels before pixel 1 are the "
            "site's nulls\n"
            "/wiring/spares/3/after: spares after pixel 63 are listed twice; one entry with the "
            "whole count\n");
}

}  // namespace
}  // namespace panewalk::wiring
