#include "config/points_file.hpp"

#include <gtest/gtest.h>

#include "told.hpp"

namespace panewalk::config {
namespace {

std::string refused(std::string_view text) {
  const auto points = read_points(text);
  return points.ok() ? std::string{} : told(points.error());
}

TEST(PointsFile, ReadsTwoLengthsALine) {
  const auto points = read_points("x,y\n\n80 mm, 1.2 m\r\n  3 1/2 in ,-1 ft\n\n");
  ASSERT_TRUE(points.ok());
  ASSERT_EQ(points.value().size(), 2U);
  EXPECT_EQ(points.value()[0].x.value(), 80);
  EXPECT_EQ(points.value()[0].y.value(), 1200);
  EXPECT_EQ(points.value()[1].x.value(), 88.9);
  EXPECT_EQ(points.value()[1].y.value(), -304.8);
}

TEST(PointsFile, TakesATableAsASpreadsheetSavesIt) {
  EXPECT_EQ(refused("\xef\xbb\xbfx,y\r\n1 mm,2 mm\r\n"), "");
}

TEST(PointsFile, TellsEveryMistakeWithItsPlace) {
  EXPECT_EQ(
      refused("80 mm, 12\n80 mm 12 mm\n\n 5, 101 m\nx,y\n1 m, 2 m, 3 m\n"),
      "f.json:1:8: \"12\" has no unit; a length such as \"80 mm\", \"30 cm\", \"1.2 m\", \"3 1/2 "
      "in\" or \"4 ft\"\n"
      "f.json:2:1: \"80 mm 12 mm\" is one thing, not two lengths; a comma between them, such as 80 "
      "mm, 1.2 m\n"
      "f.json:4:2: \"5\" has no unit; a length such as \"80 mm\", \"30 cm\", \"1.2 m\", \"3 1/2 "
      "in\" or \"4 ft\"\n"
      "f.json:4:5: \"101 m\" is out of range; from -100 m to 100 m\n"
      "f.json:5:1: \"x\" is not a length; a length such as \"80 mm\", \"30 cm\", \"1.2 m\", \"3 "
      "1/2 "
      "in\" or \"4 ft\"\n"
      "f.json:5:3: \"y\" is not a length; a length such as \"80 mm\", \"30 cm\", \"1.2 m\", \"3 "
      "1/2 "
      "in\" or \"4 ft\"\n"
      "f.json:6:6: \"2 m, 3 m\" is not a length; a length such as \"80 mm\", \"30 cm\", \"1.2 m\", "
      "\"3 1/2 in\" or \"4 ft\"\n");
}

TEST(PointsFile, RefusesAnEmptyTableAndBytesThatAreNoText) {
  EXPECT_EQ(refused("x,y\n\n"),
            "f.json:1:1: no points; two lengths a line, such as 80 mm, 1.2 m\n");
  EXPECT_EQ(refused("1 mm,2 mm\n\xff"),
            "f.json:2:1: not UTF-8: byte 0xff; save the text as UTF-8\n");
}

TEST(PointsFile, HoldsItsLimit) {
  std::string text;
  for (int i = 0; i < 20'001; ++i) text += "1 mm,2 mm\n";
  EXPECT_EQ(refused(text), "f.json:20001:1: too many points; at most 20000\n");
}

}  // namespace
}  // namespace panewalk::config
