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

}  // namespace
}  // namespace panewalk::base
