#include "check/entry.hpp"

#include <gtest/gtest.h>

namespace panewalk::check {
namespace {

TEST(EntryWords, AreThoseOfTheApi) {
  EXPECT_STREQ(to_text(Answer::kYes), "yes");
  EXPECT_STREQ(to_text(Answer::kNo), "no");
  EXPECT_STREQ(to_text(Answer::kUnsure), "unsure");
  EXPECT_STREQ(to_text(Answer::kSkipped), "skipped");
  EXPECT_STREQ(to_text(Seen::kAsDrawn), "as drawn");
  EXPECT_STREQ(to_text(Seen::kAnother), "another prop");
  EXPECT_STREQ(to_text(Seen::kNothing), "nothing");
  EXPECT_STREQ(to_text(Seen::kWrong), "wrong");
  EXPECT_STREQ(to_text(WalkBy::kOrder), "order");
  EXPECT_STREQ(to_text(WalkBy::kNearest), "nearest");
}

}  // namespace
}  // namespace panewalk::check
