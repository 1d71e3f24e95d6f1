#include "config/locator.hpp"

#include <gtest/gtest.h>

namespace panewalk::config {
namespace {

class LocatorTest : public testing::Test {
 protected:
  std::string place(const base::Problem& problem) const {
    const Position position = Locator{tree_}.of(problem);
    return std::to_string(position.line) + ':' + std::to_string(position.column);
  }
  // Line 2 has two-byte characters in front of what is looked for.
  Tree tree_ = read_text(
                   "{\n"
                   "  \"ä/ö~\": [1, {\"x\": 2}], \"run\": \"A\\u0031 µ (B)\",\n"
                   "  \"pair\": \"\\ud83d\\ude00 C\"\n"
                   "}")
                   .value();
};

TEST_F(LocatorTest, CountsColumnsInCharacters) {
  EXPECT_EQ(place({.where = ""}), "1:1");
  EXPECT_EQ(place({.where = "/ä~1ö~0"}), "2:11");
  EXPECT_EQ(place({.where = "/ä~1ö~0", .at_name = true}), "2:3");
  EXPECT_EQ(place({.where = "/ä~1ö~0/0"}), "2:12");
  EXPECT_EQ(place({.where = "/ä~1ö~0/1/x"}), "2:21");
  EXPECT_EQ(place({.where = "/ä~1ö~0/1/x", .at_name = true}), "2:16");
}

TEST_F(LocatorTest, PlacesWhatIsMissingAtTheObjectThatLacksIt) {
  EXPECT_EQ(place({.where = "/site"}), "1:1");
  EXPECT_EQ(place({.where = "/ä~1ö~0/1/y"}), "2:15");
  EXPECT_EQ(place({.where = "/ä~1ö~0/7/y"}), "2:11");
  EXPECT_EQ(place({.where = "/run/deep/er"}), "2:33");
}

TEST_F(LocatorTest, CountsCharactersIntoAString) {
  EXPECT_EQ(place({.where = "/run", .within = 0}), "2:34");
  EXPECT_EQ(place({.where = "/run", .within = 1}), "2:35");   // the escape of "1"
  EXPECT_EQ(place({.where = "/run", .within = 2}), "2:41");   // after it
  EXPECT_EQ(place({.where = "/run", .within = 5}), "2:44");   // "("
  EXPECT_EQ(place({.where = "/run", .within = 99}), "2:47");  // the closing quote
  EXPECT_EQ(place({.where = "/pair", .within = 2}), "3:25");  // the pair is one character
}

TEST_F(LocatorTest, SortsByPlaceAndLeavesWhatIsPlaced) {
  base::Problems problems{
      {.where = "/pair"}, {.line = 9, .column = 9, .where = ""}, {.where = "/run"}};
  Locator{tree_}.place(problems);
  EXPECT_EQ(problems[0].where, "/run");
  EXPECT_EQ(problems[1].where, "/pair");
  EXPECT_EQ(problems[2].line, 9);
}

TEST(LinesOfText, FindsPlacesInALongLine) {
  const std::string text = "\n" + std::string(5000, 'x') + "é!";
  const Lines lines{text};
  EXPECT_EQ(lines.at(5001).column, 5001);
  EXPECT_EQ(lines.at(5003).column, 5002);
  EXPECT_EQ(lines.at(99'999).column, 5003);
  EXPECT_EQ(lines.at(99'999).line, 2);
}

}  // namespace
}  // namespace panewalk::config
