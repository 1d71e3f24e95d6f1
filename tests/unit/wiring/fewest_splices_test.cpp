#include "wiring/fewest_splices.hpp"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "support/routes.hpp"

/// The route with the fewest splices, on frames whose figures are published or can be counted.
namespace panewalk::wiring {
namespace {

using test::at;
using test::frame_of;
using test::mm;
using test::panes;
using test::pitch;

FoundRoute found_on(const prop::Frame& frame, const RouteWishes& wishes = {}) {
  auto found = find_fewest_splices(frame, wishes);
  if (!found.ok()) {
    ADD_FAILURE() << test::lines(found.error());
    return {};
  }
  return std::move(found).value();
}

std::string refusal_on(const prop::Frame& frame, const RouteWishes& wishes) {
  const auto found = find_fewest_splices(frame, wishes);
  return found.ok() ? "none" : test::lines(found.error());
}

std::string text_of(const FoundRoute& found) {
  std::string text;
  for (const std::string& run : found.runs) text += (text.empty() ? "" : ", ") + run;
  return text;
}

/// "2 splices, 1 hop, 1 jump; proven; least wire"
std::string figures(const FoundRoute& found) {
  return std::to_string(found.splices()) + " splices, " +
         std::to_string(found.map.count(ReachedBy::kHop)) + " hops, " +
         std::to_string(found.map.count(ReachedBy::kJump)) + " jumps" +
         (found.proven ? ", proven" : "") + (found.least_wire_proven ? ", least wire" : "");
}

StationIndex station(const prop::Frame& frame, const std::string& name) {
  return frame.find_station(name).value();
}

struct Panes {
  int across, down;
  const char* figures;
};
class Windows : public testing::TestWithParam<Panes> {};

// A connected graph with 2k odd vertices falls into k trails and no fewer (Euler 1736; Hierholzer
// 1873; Veblen), so a window of m × n panes, with 2(m + n − 2) odd joints, needs m + n − 3 jumps at
// least. As vertex-disjoint paths: a joint of d bars leaves d − 2 ends, which makes panes − 1 paths
// and panes − 2 splices. The difference, (m − 1)(n − 1), are the hops at the crossings.
INSTANTIATE_TEST_SUITE_P(OfPanes, Windows,
                         testing::Values(Panes{1, 1, "0 splices, 0 hops, 0 jumps"},
                                         Panes{2, 1, "0 splices, 0 hops, 0 jumps"},
                                         Panes{3, 1, "1 splices, 0 hops, 1 jumps"},
                                         Panes{2, 2, "2 splices, 1 hops, 1 jumps"},
                                         Panes{3, 2, "4 splices, 2 hops, 2 jumps"},
                                         Panes{3, 3, "7 splices, 4 hops, 3 jumps"},
                                         Panes{4, 3, "10 splices, 6 hops, 4 jumps"},
                                         Panes{4, 4, "14 splices, 9 hops, 5 jumps"}));

TEST_P(Windows, HaveTheSplicesThatTheTheoremsGive) {
  const auto [across, down, expected] = GetParam();
  const auto frame =
      frame_of(panes(pitch(6 * across + 1, 50), pitch(6 * down + 1, 50), across, down));
  EXPECT_EQ(figures(found_on(frame)), std::string{expected} + ", proven, least wire");
}

TEST(FewestSplices, OfTheSlipWindowAreAHopAndAJump) {
  const auto found = found_on(frame_of(test::slip_window()));
  EXPECT_EQ(text_of(found), "(B3) C3 C1 A1 A3 B3 (B2) (A2), (C2) B2 (B1)");
  EXPECT_EQ(figures(found), "2 splices, 1 hops, 1 jumps, proven, least wire");
  EXPECT_EQ(found.fewest, 2U);
  EXPECT_EQ(found.map.splice_wire(), mm(900));
  EXPECT_EQ(found.why,
            "Without 5 joints the frame falls into 8 pieces, and each joint has one pixel, which "
            "links two of them at most: at least 8 − 5 = 3 stretches and 2 splices between them.");
}

TEST(FewestSplices, OfALineAreNone) {
  const auto found = found_on(frame_of(prop::LineShape{at(0, 0), at(9950, 0), 200}));
  EXPECT_EQ(text_of(found), "A B");
  EXPECT_EQ(figures(found), "0 splices, 0 hops, 0 jumps, proven, least wire");
  EXPECT_EQ(found.why, "The data runs through without a cut.");
}

prop::ArcShape ring(double x, int stations) {
  return {.centre = at(x, 300),
          .radius = mm(300),
          .from = test::deg(90),
          .to = test::deg(450),
          .stations = stations,
          .joints = {}};
}

TEST(FewestSplices, OfARingAreNoneAndItGoesWithTheAngle) {
  const auto found = found_on(frame_of(ring(300, 28)));
  EXPECT_EQ(text_of(found), "A (A)");
  EXPECT_EQ(figures(found), "0 splices, 0 hops, 0 jumps, proven, least wire");
}

TEST(FewestSplices, OfPartsThatNoBarJoinsAreOneLessThanTheParts) {
  const auto found =
      found_on(frame_of({test::named("L", at(0, 0), prop::LineShape{at(0, 0), at(90, 0), 4}),
                         test::named("M", at(200, 0), prop::LineShape{at(0, 0), at(90, 0), 4}),
                         test::named("R", at(500, 0), prop::LineShape{at(0, 0), at(90, 0), 4})}));
  EXPECT_EQ(text_of(found), "L.A L.B, M.A M.B, R.A R.B");
  EXPECT_EQ(figures(found), "2 splices, 0 hops, 2 jumps, proven, least wire");
  EXPECT_EQ(found.map.splice_wire(), mm(110 + 210));
  EXPECT_EQ(found.why,
            "The frame has 3 parts that no bar joins: at least 3 stretches and 2 splices between "
            "them.");
}

prop::BarsShape star(int rays) {
  prop::BarsShape shape;
  shape.joints.push_back({"Hub", at(500, 500)});
  for (int i = 0; i < rays; ++i) {
    const std::string name(1, static_cast<char>('N' + i));
    shape.joints.push_back({name, at(500.0 - 100 * i, 900)});
    shape.bars.push_back({"Hub", name, 5});
  }
  return shape;
}

// A star of n rays is a tree: two rays make one path through the hub, each other ray one more.
TEST(FewestSplices, OfAStarAreTheRaysLessTwo) {
  EXPECT_EQ(figures(found_on(frame_of(star(3)))).substr(0, 9), "1 splices");
  EXPECT_EQ(figures(found_on(frame_of(star(5)))).substr(0, 9), "3 splices");
  const auto found = found_on(frame_of(star(6)));
  EXPECT_EQ(found.splices(), 4U);
  EXPECT_TRUE(found.proven);
  EXPECT_TRUE(found.least_wire_proven);
}

// Joints without a station between them: a lattice of 5 × 5 pixels has a path through all of them.
TEST(FewestSplices, OfALatticeWhoseBarsAreBareAreNone) {
  EXPECT_EQ(figures(found_on(frame_of(panes(pitch(5, 50), pitch(5, 50), 4, 4)))),
            "0 splices, 0 hops, 0 jumps, proven, least wire");
}

TEST(FewestSplices, TakeAnEmptyPlaceAsACut) {
  const auto one = found_on(frame_of({test::section(prop::LineShape{at(0, 0), at(700, 0), 8},
                                                    std::vector<std::string>{"A-B/3"})}));
  EXPECT_EQ(text_of(one), "A B");
  EXPECT_EQ(figures(one), "1 splices, 1 hops, 0 jumps, proven, least wire");
  const auto two = found_on(frame_of({test::section(prop::LineShape{at(0, 0), at(700, 0), 8},
                                                    std::vector<std::string>{"A-B/3", "A-B/4"})}));
  EXPECT_EQ(figures(two), "1 splices, 0 hops, 1 jumps, proven, least wire");
  EXPECT_EQ(text_of(two), "A A-B/2, A-B/5 B");
}

TEST(FewestSplices, KeepWhereTheDataComesInAndGoesOut) {
  const auto frame = frame_of(test::slip_window());
  const auto found =
      found_on(frame, {.first = station(frame, "A3"), .last = station(frame, "B2"), .longest = {}});
  EXPECT_EQ(frame[found.map.station_of(PixelIndex::of(1))].name, "A3");
  EXPECT_EQ(frame[found.map.station_of(PixelIndex::of(found.map.size()))].name, "B2");
  EXPECT_TRUE(found.proven);
}

TEST(FewestSplices, MayBeMoreWithTheLeadInInTheMiddle) {
  const auto frame = frame_of(prop::PathShape{{at(0, 0), at(300, 0), at(900, 0)}, {4, 7}});
  const auto found = found_on(frame, {.first = station(frame, "B"), .last = {}, .longest = {}});
  EXPECT_EQ(figures(found), "1 splices, 0 hops, 1 jumps, proven, least wire");
  // Back to the joint from the near end and one station on, which beats the far end.
  EXPECT_EQ(text_of(found), "B A, (B) C");
  EXPECT_EQ(found.map.splice_wire(), mm(400));
  EXPECT_EQ(found.why,
            "All ways to link the bars at the joints that keep what was asked for come to no "
            "fewer.");
}

TEST(FewestSplices, KeepTheLongestWire) {
  const auto frame = frame_of(test::slip_window());
  const auto free = found_on(frame);
  double longest = 0;
  for (const Splice& splice : free.map.splices()) longest = std::max(longest, splice.wire.value());
  EXPECT_GT(longest, 500);
  const auto found = found_on(frame, {.first = {}, .last = {}, .longest = mm(500)});
  for (const Splice& splice : found.map.splices()) EXPECT_LE(splice.wire, mm(500));
}

TEST(FewestSplices, RefuseAWireThatIsTooShortForAnyRoute) {
  const auto frame =
      frame_of({test::named("L", at(0, 0), prop::LineShape{at(0, 0), at(90, 0), 4}),
                test::named("R", at(500, 0), prop::LineShape{at(0, 0), at(90, 0), 4})});
  EXPECT_EQ(refusal_on(frame, {.first = {}, .last = {}, .longest = mm(400)}),
            "/longest: no route of this frame has only hops and jumps of at most 0.40 m; a longer "
            "limit\n");
  EXPECT_EQ(refusal_on(frame, {.first = {}, .last = {}, .longest = mm(410)}), "none");
}

TEST(FewestSplices, RefuseEndsThatCanNotBe) {
  const auto frame = frame_of(
      {test::section(prop::LineShape{at(0, 0), at(700, 0), 8}, std::vector<std::string>{"A"})});
  EXPECT_EQ(refusal_on(frame, {.first = station(frame, "A"), .last = {}, .longest = {}}),
            "/first: A has no pixel; a place that has one\n");
  EXPECT_EQ(
      refusal_on(frame, {.first = station(frame, "B"), .last = station(frame, "B"), .longest = {}}),
      "/last: B can't be the first and the last; another place for the one or the other\n");
}

TEST(FewestSplices, AreAskedForByTheFile) {
  const test::Wired wired{
      frame_of(test::slip_window()),
      {.route = {}, .fewest_splices = true, .spares = {{.after = 9, .count = 2}}}};
  EXPECT_EQ(wired.refusal(), "");
  EXPECT_EQ(wired.splices(), "49 hop 180 mm, 53 jump 720 mm");
  EXPECT_EQ(wired.map().spare_count(), 2);
}

// 1800 pixels of 40 × 40 panes are too many to search; the bound still is panes − 2.
TEST(FewestSplices, OfAFrameTooLargeToSearchHaveAnHonestBound) {
  const auto frame = frame_of(panes(pitch(51, 50), pitch(51, 50), 25, 25));
  const auto found = found_on(frame);
  EXPECT_EQ(found.fewest, 25U * 25 - 2);
  EXPECT_GE(found.splices(), found.fewest);
  EXPECT_LE(found.splices(), found.fewest + found.fewest / 20);
  EXPECT_FALSE(found.least_wire_proven);
}

}  // namespace
}  // namespace panewalk::wiring
