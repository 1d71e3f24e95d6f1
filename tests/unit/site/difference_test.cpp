#include "site/difference.hpp"

#include <gtest/gtest.h>

namespace panewalk::site {
namespace {

TEST(Difference, IsNothingWhereNothingDiffers) {
  EXPECT_EQ(unified_difference("f", "a\n", "a\n"), "");
  EXPECT_EQ(unified_difference("f", "", ""), "");
}

TEST(Difference, HasThreeLinesAround) {
  EXPECT_EQ(
      unified_difference("f.json", "1\n2\n3\n4\n5\n6\n7\n8\n9\n", "1\n2\n3\n4\nfive\n6\n7\n8\n9\n"),
      "--- f.json\n+++ f.json (corrected)\n@@ -2,7 +2,7 @@\n 2\n 3\n 4\n-5\n+five\n 6\n 7\n 8\n");
}

TEST(Difference, TellsPutInFromTakenOut) {
  EXPECT_EQ(unified_difference("f", "a\nb\nc\n", "a\nb\nnew\nc\n"),
            "--- f\n+++ f (corrected)\n@@ -1,3 +1,4 @@\n a\n b\n+new\n c\n");
  EXPECT_EQ(unified_difference("f", "a\nb\nc\n", "a\nc\n"),
            "--- f\n+++ f (corrected)\n@@ -1,3 +1,2 @@\n a\n-b\n c\n");
}

// What GNU diff 3.8 prints for these texts, but for the heads.
TEST(Difference, BringsNearPlacesTogetherAndKeepsFarOnesApart) {
  EXPECT_EQ(unified_difference("f", "a\n1\n2\n3\n4\n5\n6\nb\n", "A\n1\n2\n3\n4\n5\n6\nB\n"),
            "--- f\n+++ f (corrected)\n@@ -1,8 +1,8 @@\n-a\n+A\n 1\n 2\n 3\n 4\n 5\n 6\n-b\n+B\n");
  EXPECT_EQ(unified_difference("f", "a\n1\n2\n3\n4\n5\n6\n7\nb\n", "1\n2\n3\n4\n5\n6\n7\nB\n"),
            "--- f\n+++ f (corrected)\n@@ -1,4 +1,3 @@\n-a\n 1\n 2\n 3\n@@ -6,4 +5,4 @@\n 5\n 6\n "
            "7\n-b\n+B\n");
}

TEST(Difference, SaysWhereALineBreakIsMissingAtTheEnd) {
  EXPECT_EQ(unified_difference("f", "a", "b\n"),
            "--- f\n+++ f (corrected)\n@@ -1 +1 @@\n-a\n\\ No newline at end of file\n+b\n");
  EXPECT_EQ(unified_difference("f", "", "b\n"), "--- f\n+++ f (corrected)\n@@ -0,0 +1 @@\n+b\n");
}

// A table of all lines against all would not fit into the memory.
TEST(Difference, TakesALongMiddleAsAWhole) {
  std::string before;
  std::string after;
  std::string wanted = "--- f\n+++ f (corrected)\n@@ -1,3000 +1,3000 @@\n";
  for (int i = 0; i < 3000; ++i) before += "a\n";
  for (int i = 0; i < 3000; ++i) after += "b\n";
  for (int i = 0; i < 3000; ++i) wanted += "-a\n";
  for (int i = 0; i < 3000; ++i) wanted += "+b\n";
  EXPECT_EQ(unified_difference("f", before, after), wanted);
}

}  // namespace
}  // namespace panewalk::site
