#include "base/problem.hpp"

#include <gtest/gtest.h>

#include <string>

namespace panewalk::base {
namespace {

TEST(Problem, PrintsPlaceThenWhereThenWhatThenRemedy) {
  const Problem problem{.file = "props/slip-window.json",
                        .line = 14,
                        .column = 18,
                        .where = "/sections/0/window/columns/pitch",
                        .what = "\"-3 in\" is too short",
                        .remedy = "more than 0 mm"};
  EXPECT_EQ(to_line(problem),
            "props/slip-window.json:14:18: /sections/0/window/columns/pitch: \"-3 in\" is too "
            "short; more than 0 mm");
}

TEST(Problem, LeavesOutWhatIsNotKnown) {
  EXPECT_EQ(to_line({.what = "no route"}), "no route");
  EXPECT_EQ(to_line({.what = "no route", .remedy = "a list of runs"}), "no route; a list of runs");
  EXPECT_EQ(to_line({.where = "/wiring", .what = "no route"}), "/wiring: no route");
  EXPECT_EQ(to_line({.file = "site.json", .what = "can't be read"}), "site.json: can't be read");
  EXPECT_EQ(to_line({.file = "site.json", .line = 1, .column = 2, .what = "not JSON"}),
            "site.json:1:2: not JSON");
}

TEST(Problem, StaysOnOneLineWhateverTheTextsHold) {
  EXPECT_EQ(to_line({.file = "a\nb.json", .where = "/x\ty", .what = "un\x1b[31mknown\x7f"}),
            "a\\u000ab.json: /x\\u0009y: un\\u001b[31mknown\\u007f");
}

// ECMA-48 section 5.3: U+009B is CSI, as ESC [ is.
TEST(Problem, HasNoControlCharacterOfEightBitsAndNothingThatIsNoUtf8) {
  EXPECT_EQ(to_line({.file = "a.json",
                     .what = "\xc2\x9b"
                             "31mred \xc3\xa9 \xc2\xa0\xff\x9b"}),
            "a.json: \\u009b31mred \xc3\xa9 \xc2\xa0\xef\xbf\xbd\xef\xbf\xbd");
}

// RFC 6901, section 3: ~ is ~0 and / is ~1. Names from its section 5 where they fit.
TEST(Pointer, EscapesAMembersNameAsRfc6901Says) {
  EXPECT_EQ(member("", "foo"), "/foo");
  EXPECT_EQ(member("", "a/b"), "/a~1b");
  EXPECT_EQ(member("", "m~n"), "/m~0n");
  EXPECT_EQ(member("", ""), "/");
  EXPECT_EQ(member("/sections/0", "~1"), "/sections/0/~01");
}

TEST(Pointer, CountsElementsFromZero) {
  EXPECT_EQ(element("/sections", 0), "/sections/0");
  EXPECT_EQ(element(element("/a", 12), 3), "/a/12/3");
}

TEST(Problems, AppendMovesAllAtTheEndInOrder) {
  Problems all{{.what = "one"}};
  Problems more{{.what = "two"}, {.what = "three"}};
  append(all, std::move(more));
  ASSERT_EQ(all.size(), 3U);
  EXPECT_EQ(all[0].what, "one");
  EXPECT_EQ(all[1].what, "two");
  EXPECT_EQ(all[2].what, "three");
  EXPECT_TRUE(more.empty());  // NOLINT(bugprone-use-after-move): promised
}

TEST(Listed, PutsCommasAndTheLastWord) {
  EXPECT_EQ(base::listed({}), "");
  EXPECT_EQ(base::listed({"a"}), "a");
  EXPECT_EQ(base::listed({"a", "b"}), "a and b");
  EXPECT_EQ(base::listed({"a", "b", "c"}), "a, b and c");
  EXPECT_EQ(base::listed({"a", "b", "c", "d"}, "or"), "a, b, c or d");
}

TEST(Quoted, EscapesQuotesBackslashesAndControlCharacters) {
  EXPECT_EQ(base::quoted(""), "\"\"");
  EXPECT_EQ(base::quoted("3 in"), "\"3 in\"");
  EXPECT_EQ(base::quoted("a\"b\\c"), "\"a\\\"b\\\\c\"");
  EXPECT_EQ(base::quoted(std::string{"a\0b\n\x7f", 5}), "\"a\\u0000b\\u000a\\u007f\"");
  EXPECT_EQ(base::quoted("\xc2\x9b"
                         "31m\xc2\xa9"),
            "\"\\u009b31m\xc2\xa9\"");
}

TEST(Quoted, CutsAfterSixtyCharacters) {
  EXPECT_EQ(base::quoted(std::string(60, 'x')), '"' + std::string(60, 'x') + '"');
  EXPECT_EQ(base::quoted(std::string(61, 'x')), '"' + std::string(60, 'x') + "…\"");
}

TEST(Quoted, NeverCutsInsideACharacter) {
  std::string umlauts;
  std::string sixty;
  for (int i = 0; i < 70; ++i) umlauts += "ü";
  for (int i = 0; i < 60; ++i) sixty += "ü";
  EXPECT_EQ(base::quoted(umlauts), '"' + sixty + "…\"");
}

}  // namespace
}  // namespace panewalk::base
