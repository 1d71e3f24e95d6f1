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
  EXPECT_STREQ(to_text(FindPlace::kBench), "bench");
  EXPECT_STREQ(to_text(FindPlace::kYard), "yard");
  EXPECT_STREQ(to_text(Repair::kMended), "mended");
  EXPECT_STREQ(to_text(Repair::kNotMended), "not mended");
  EXPECT_STREQ(to_text(Repair::kWasAnother), "was another fault");
}

const FindAnswered kAnswered{1, "slip-window", 1, "same: in red", "\"yes\""};
const FindConcluded kFinding{.find = 1,
                             .prop = "slip-window",
                             .fault = "none",
                             .second = "",
                             .station = "",
                             .also_possible = ""};

/// Whether the event is within bounds once `change` was made to it.
template <class T, class Change>
bool fits(T event, Change change) {
  change(event);
  return is_within_bounds(event);
}

TEST(EntryBounds, HoldForTheWholeOfOtherChecks) {
  EXPECT_TRUE(is_within_bounds(BenchAnswered{1, "slip-window", "ruler", Answer::kNo, "a\nb"}));
  EXPECT_TRUE(is_within_bounds(WalkBegun{}));
}

TEST(EntryBounds, AreThoseOfItsNumbers) {
  EXPECT_TRUE(is_within_bounds(kAnswered));
  EXPECT_TRUE(is_within_bounds(kFinding));
  EXPECT_FALSE(fits(kAnswered, [](auto& event) { event.find = 0; }));
  EXPECT_FALSE(fits(kAnswered, [](auto& event) { event.question = 0; }));
  EXPECT_FALSE(fits(kFinding, [](auto& event) { event.find = 0; }));
  EXPECT_FALSE(fits(kFinding, [](auto& event) { event.index = -1; }));
  EXPECT_FALSE(fits(kFinding, [](auto& event) { event.certainty = -1; }));
  EXPECT_TRUE(fits(kFinding, [](auto& event) { event.certainty = 1000; }));
  EXPECT_FALSE(fits(kFinding, [](auto& event) { event.certainty = 1001; }));
  EXPECT_FALSE(fits(kFinding, [](auto& event) { event.questions = -1; }));
  EXPECT_FALSE(is_within_bounds(FindRepaired{0, "slip-window", Repair::kMended, "", ""}));
}

TEST(EntryBounds, WantLinesOfAtMost4000Bytes) {
  EXPECT_TRUE(fits(kAnswered, [](auto& event) { event.asked = std::string(4000, 'a'); }));
  EXPECT_FALSE(fits(kAnswered, [](auto& event) { event.asked = std::string(4001, 'a'); }));
  EXPECT_FALSE(fits(kAnswered, [](auto& event) { event.asked = ""; }));
  EXPECT_FALSE(fits(kAnswered, [](auto& event) { event.asked = "same:\n in red"; }));
  EXPECT_TRUE(fits(kAnswered, [](auto& event) { event.answer = std::string(4000, '1'); }));
  EXPECT_FALSE(fits(kAnswered, [](auto& event) { event.answer = std::string(4001, '1'); }));
  EXPECT_FALSE(fits(kAnswered, [](auto& event) { event.answer = ""; }));
  EXPECT_FALSE(fits(kAnswered, [](auto& event) { event.answer = "[\n]"; }));
  EXPECT_TRUE(fits(kAnswered, [](auto& event) { event.asked = "same: über ✓"; }));
  EXPECT_FALSE(fits(kFinding, [](auto& event) { event.fault = ""; }));
  EXPECT_FALSE(fits(kFinding, [](auto& event) { event.second = "turned\x7f"; }));
  EXPECT_FALSE(fits(kFinding, [](auto& event) { event.station = "A1\t"; }));
  EXPECT_FALSE(fits(kFinding, [](auto& event) { event.also_possible = std::string(4001, 'a'); }));
  EXPECT_FALSE(is_within_bounds(FindBegun{"slip-window", FindPlace::kBench, "bench\nruler"}));
}

TEST(EntryBounds, NameAFaultOnlyWhereItWasAnother) {
  EXPECT_TRUE(is_within_bounds(FindRepaired{1, "slip-window", Repair::kMended, "", "a\nb"}));
  EXPECT_FALSE(is_within_bounds(FindRepaired{1, "slip-window", Repair::kMended, "turned", ""}));
  EXPECT_FALSE(is_within_bounds(FindRepaired{1, "slip-window", Repair::kNotMended, "turned", ""}));
  EXPECT_TRUE(is_within_bounds(FindRepaired{1, "slip-window", Repair::kWasAnother, "turned", ""}));
  EXPECT_TRUE(is_within_bounds(FindRepaired{1, "slip-window", Repair::kWasAnother, "", ""}));
  EXPECT_FALSE(
      is_within_bounds(FindRepaired{1, "slip-window", Repair::kWasAnother, "turned\n", ""}));
}

}  // namespace
}  // namespace panewalk::check
