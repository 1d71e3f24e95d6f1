#include "base/nearest.hpp"

#include <gtest/gtest.h>

namespace panewalk::base {
namespace {

TEST(Edits, CountsInsertDeleteReplaceAndSwap) {
  EXPECT_EQ(edits_between("", ""), 0U);
  EXPECT_EQ(edits_between("pitch", "pitch"), 0U);
  EXPECT_EQ(edits_between("", "gaps"), 4U);
  EXPECT_EQ(edits_between("gaps", ""), 4U);
  EXPECT_EQ(edits_between("colums", "columns"), 1U);
  EXPECT_EQ(edits_between("levvels", "levels"), 1U);
  EXPECT_EQ(edits_between("lavels", "levels"), 1U);
  EXPECT_EQ(edits_between("uprihgts", "uprights"), 1U);
  // The textbook pair for Levenshtein's distance.
  EXPECT_EQ(edits_between("kitten", "sitting"), 3U);
  // Restricted distance: no edit inside a swapped pair, so 3 and not 2.
  EXPECT_EQ(edits_between("ca", "abc"), 3U);
}

TEST(Nearest, FindsAMisspeltWord) {
  EXPECT_EQ(nearest("colums", {"rows", "columns", "levels"}), "columns");
  EXPECT_EQ(nearest("center", {"radius", "centre"}), "centre");
}

TEST(Nearest, AllowsAThirdOfTheLettersAndNeverMoreThanThree) {
  EXPECT_EQ(nearest("arx", {"arc"}), "arc");
  EXPECT_EQ(nearest("axx", {"arc"}), std::nullopt);
  EXPECT_EQ(nearest("wixxow", {"window"}), "window");
  EXPECT_EQ(nearest("wixxxw", {"window"}), std::nullopt);
  EXPECT_EQ(nearest("channels_xxx_universe", {"channels_per_universe"}), "channels_per_universe");
  EXPECT_EQ(nearest("channels_xxxxuniverse", {"channels_per_universe"}), std::nullopt);
}

TEST(Nearest, TakesNoOtherWordForOneOfTwoLetters) {
  EXPECT_EQ(nearest("D1", {"A1", "B1", "C1"}), std::nullopt);
  EXPECT_EQ(nearest("M", {"Hub", "N"}), std::nullopt);
}

TEST(Nearest, MakesNoDifferenceOfCapitals) {
  EXPECT_EQ(nearest("b2", {"A1", "B2"}), "B2");
  EXPECT_EQ(nearest("HUB", {"N", "Hub"}), "Hub");
}

TEST(Nearest, PrefersFewerEditsThenTheFirst) {
  EXPECT_EQ(nearest("levelt", {"levels", "level"}), "levels");
  EXPECT_EQ(nearest("point", {"paints", "points"}), "points");
}

TEST(Nearest, KnowsNothingAmongNoWords) { EXPECT_EQ(nearest("rows", {}), std::nullopt); }

TEST(NameHint, AsksWhereOneIsNearAndListsWhereNoneIs) {
  EXPECT_EQ(name_hint("colums", {"rows", "columns"}), "did you mean \"columns\"?");
  EXPECT_EQ(name_hint("width", {"rows", "columns", "panes"}),
            "allowed: \"rows\", \"columns\" or \"panes\"");
}

}  // namespace
}  // namespace panewalk::base
