#include "base/utc.hpp"

#include <gtest/gtest.h>

namespace panewalk::base {
namespace {

// Counted by `date -u -d @SECONDS +%FT%TZ` of GNU coreutils 9.1.
TEST(UtcText, IsIso8601) {
  EXPECT_EQ(utc_text(0), "1970-01-01T00:00:00Z");
  EXPECT_EQ(utc_text(1'795'626'501), "2026-11-25T17:08:21Z");
  EXPECT_EQ(utc_text(951'782'400), "2000-02-29T00:00:00Z");
  EXPECT_EQ(utc_text(1'767'225'599), "2025-12-31T23:59:59Z");
}

TEST(UtcText, GoesBackBeforeItsOrigin) { EXPECT_EQ(utc_text(-1), "1969-12-31T23:59:59Z"); }

TEST(UtcText, KeepsToFourDigitsOfAYear) {
  EXPECT_EQ(utc_text(INT64_MAX), "9999-12-31T23:59:59Z");
  EXPECT_EQ(utc_text(INT64_MIN), "0000-01-01T00:00:00Z");
}

// Counted by `date -u -d DAY +%s` of GNU coreutils 9.1.
TEST(ReadUtcDay, GivesItsFirstSecond) {
  EXPECT_EQ(read_utc_day("1970-01-01"), 0);
  EXPECT_EQ(read_utc_day("2026-11-25"), 1'795'564'800);
  EXPECT_EQ(read_utc_day("2000-02-29"), 951'782'400);
  EXPECT_EQ(read_utc_day("1969-12-31"), -86'400);
  EXPECT_EQ(read_utc_day("0000-01-01"), -62'167'219'200);
  EXPECT_EQ(read_utc_day("9999-12-31"), 253'402'214'400);
}

TEST(ReadUtcDay, TakesNothingElse) {
  for (const char* text :
       {"", "2026", "2026-11", "2026-11-2", "2026-11-251", "2026-1-025", "2026/11/25", "26-11-2025",
        "2026-00-01", "2026-13-01", "2026-11-00", "2026-11-31", "2100-02-29", "-026-11-25",
        "2026-11-2x", " 026-11-25", "2026-11-25T00:00:00Z", "yesterday"}) {
    EXPECT_EQ(read_utc_day(text), std::nullopt) << text;
  }
}

}  // namespace
}  // namespace panewalk::base
