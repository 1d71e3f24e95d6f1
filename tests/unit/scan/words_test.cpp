#include "scan/words.hpp"

#include <gtest/gtest.h>

namespace panewalk::scan {
namespace {

TEST(Words, ShowsATextAsItIsInQuotes) {
  EXPECT_EQ(shown("quay desk"), "\"quay desk\"");
  EXPECT_EQ(shown("b\xc3\xa5thus \xe2\x9a\x93"), "\"b\xc3\xa5thus \xe2\x9a\x93\"");
  EXPECT_EQ(shown(R"(a "b" \c)"), R"("a \"b\" \\c")");
  EXPECT_EQ(shown(""), "\"\"");
}

TEST(Words, LetNothingReachTheTerminalThatSteersIt) {
  EXPECT_EQ(shown("\x1b[2J\r\n\x7f"), R"("\u001b[2J\u000d\u000a\u007f")");
  EXPECT_EQ(shown("\xc2\x9b"
                  "31m"),
            R"("\u009b31m")");  // C1: CSI
  EXPECT_EQ(shown("a\xe2\x80\xae"
                  "b"),
            R"("a\u202eb")");  // right to left override
  EXPECT_EQ(shown("a\xe2\x80\x8b"
                  "b"),
            R"("a\u200bb")");                            // zero width
  EXPECT_EQ(shown("\xf3\xa0\x81\x81"), R"("\ue0041")");  // tag
  EXPECT_EQ(shown("a\xff\xc3"), "\"a??\"");              // not UTF-8
  EXPECT_EQ(shown("\xed\xa0\x80"), "\"???\"");           // surrogate
}

TEST(Words, CutWhatIsTooWide) {
  EXPECT_EQ(shown("0123456789", 12), "\"0123456789\"");
  EXPECT_EQ(shown("0123456789a", 12), "\"012345678…\"");
  EXPECT_EQ(shown("\xe6\xb8\xaf\xe6\xb8\xaf\xe6\xb8\xaf", 8),
            "\"\xe6\xb8\xaf\xe6\xb8\xaf\xe6\xb8\xaf\"");
  EXPECT_EQ(shown("\xe6\xb8\xaf\xe6\xb8\xaf\xe6\xb8\xaf", 7), "\"\xe6\xb8\xaf\xe6\xb8\xaf…\"");
}

TEST(Words, PutNumbersTogether) {
  EXPECT_EQ(ranges({}), "");
  EXPECT_EQ(ranges({7}), "7");
  EXPECT_EQ(ranges({1, 2}), "1 and 2");
  EXPECT_EQ(ranges({1, 2, 3, 7, 9, 10}), "1 to 3, 7, 9 and 10");
  EXPECT_EQ(ranges({1, 3, 5, 7, 9, 11, 13, 15, 17, 19}), "1, 3, 5, 7, 9, 11, 13, 15 and 2 more");
  EXPECT_EQ(ranges({65534, 65535}), "65534 and 65535");
  EXPECT_EQ(numbered(patch::Protocol::kE131, {3}), "universe 3");
  EXPECT_EQ(numbered(patch::Protocol::kE131, {3, 4}), "universes 3 and 4");
  EXPECT_EQ(numbered(patch::Protocol::kArtNet, {0}), "Port-Address 0");
  EXPECT_EQ(numbered(patch::Protocol::kArtNet, {0, 1, 2}), "Port-Addresses 0 to 2");
}

TEST(Words, SayFiguresWithTheirUnits) {
  EXPECT_EQ(dotted({10, 0, 0, 255}), "10.0.0.255");
  EXPECT_EQ(seconds_text(std::chrono::milliseconds{12040}), "12.0 s");
  EXPECT_EQ(percent(0), "0.0 %");
  EXPECT_EQ(percent(0.0004), "below 0.1 %");
  EXPECT_EQ(percent(0.0123), "1.2 %");
  EXPECT_EQ(counted(1, "packet", "packets"), "1 packet");
  EXPECT_EQ(counted(0, "packet", "packets"), "0 packets");
  EXPECT_EQ(by_cards({""}), "");
  EXPECT_EQ(by_cards({"eth0", "wlan0"}), " by eth0 and wlan0");
}

TEST(Words, WrapBetweenWordsAndBreakTheTooLong) {
  EXPECT_EQ(wrapped("one two three", 2, 4, 12), "  one two\n    three\n");
  EXPECT_EQ(wrapped("one", 0, 0, 3), "one\n");
  EXPECT_EQ(wrapped("0123456789abcdef", 2, 4, 10), "  01234567\n    89abcd\n    ef\n");
  EXPECT_EQ(wrapped("ab 0123456789abcdef", 0, 0, 8), "ab\n01234567\n89abcdef\n");
  EXPECT_EQ(wrapped("", 0, 0, 8), "\n");
}

}  // namespace
}  // namespace panewalk::scan
