#include "site/route_text.hpp"

#include <gtest/gtest.h>

#include "support/frames.hpp"

namespace panewalk::site {
namespace {

/// Four panes with two stations in each bar: A1 … C3.
prop::Frame four_panes() {
  return test::frame_of(test::window(test::pitch(7, 100), test::pitch(7, 100), {4}, {4}));
}

std::vector<StationIndex> stations(const prop::Frame& frame, const std::string& names) {
  std::vector<StationIndex> all;
  for (std::size_t i = 0; i < names.size();) {
    const std::size_t end = std::min(names.find(' ', i), names.size());
    const auto station = frame.find_station(names.substr(i, end - i));
    if (station) all.push_back(*station);
    if (!station) ADD_FAILURE() << names.substr(i, end - i);
    i = end + 1;
  }
  return all;
}

/// The runs with " | " between; "none" where there are none.
std::string spelt_text(const prop::Frame& frame,
                       const std::vector<std::pair<std::string, std::string>>& runs) {
  std::vector<WantedRun> wanted;
  for (const auto& [text, takes] : runs) {
    wanted.push_back({.text = text, .takes = stations(frame, takes)});
  }
  const auto texts = spelt(frame, wanted);
  if (!texts) return "none";
  std::string all;
  for (const std::string& text : *texts) all += (all.empty() ? "" : " | ") + text;
  return all;
}

TEST(RouteText, KeepsARunThatReadsAsItShould) {
  EXPECT_EQ(spelt_text(four_panes(), {{"A1  B1", "A1 A1-B1/1 A1-B1/2 B1"}}), "A1  B1");
  // B1 is taken already, which counts as if in parentheses.
  EXPECT_EQ(spelt_text(four_panes(),
                       {{"A1 B1", "A1 A1-B1/1 A1-B1/2 B1"}, {"B1 C1", "B1-C1/1 B1-C1/2 C1"}}),
            "A1 B1 | B1 C1");
}

TEST(RouteText, MovesTheParenthesesToThePassThatIsNotMeant) {
  EXPECT_EQ(spelt_text(four_panes(),
                       {{"A1 B1", "A1 A1-B1/1 A1-B1/2"}, {"(B1) C1", "B1 B1-C1/1 B1-C1/2 C1"}}),
            "A1 (B1) | B1 C1");
}

TEST(RouteText, NamesAJointInLineThatIsNotTaken) {
  EXPECT_EQ(spelt_text(four_panes(), {{"A1 C1", "A1 A1-B1/1 A1-B1/2 B1-C1/1 B1-C1/2 C1"},
                                      {"(B1) B2", "B1 B1-B2/1 B1-B2/2 B2"}}),
            "A1 (B1) C1 | B1 B2");
}

TEST(RouteText, TakesAJointAtItsLaterPassInOneRun) {
  EXPECT_EQ(spelt_text(four_panes(), {{"A1 B1 B2 A2 (A1)",
                                       "A1-B1/1 A1-B1/2 B1 B1-B2/1 B1-B2/2 B2 A2-B2/2 A2-B2/1 A2 "
                                       "A1-A2/2 A1-A2/1 A1"}}),
            "(A1) B1 B2 A2 A1");
}

TEST(RouteText, LeavesOutARunThatTakesNothing) {
  EXPECT_EQ(spelt_text(four_panes(), {{"(A1) (B1)", ""}, {"A1", "A1"}}), "A1");
}

TEST(RouteText, HasNoWordsForAnotherWay) {
  EXPECT_EQ(spelt_text(four_panes(), {{"A1 B1", "A1 A1-B1/2 A1-B1/1 B1"}}), "none");
  EXPECT_EQ(spelt_text(four_panes(), {{"A1 B1", "A1 A1-B1/1"}}), "none");
  EXPECT_EQ(spelt_text(four_panes(), {{"A1 B2", "A1"}}), "none");
}

TEST(RouteText, TurnsRound) {
  EXPECT_EQ(turned_round("A3 A1  C1 (A3)"), "(A3) C1 A1 A3");
  EXPECT_EQ(turned_round("A1-B1/2"), "A1-B1/2");
}

TEST(RouteText, MovesToOtherPlaces) {
  const prop::Frame frame = four_panes();
  const auto next = [](StationIndex station) { return std::optional{station.next()}; };
  EXPECT_EQ(moved(frame, "A1 (B1)", next), "B1 (C1)");
  EXPECT_EQ(moved(frame, "A1 (B1)", [](StationIndex) { return std::optional<StationIndex>{}; }),
            std::nullopt);
}

}  // namespace
}  // namespace panewalk::site
