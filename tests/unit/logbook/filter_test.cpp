#include "logbook/filter.hpp"

#include <gtest/gtest.h>

namespace panewalk::logbook {
namespace {

using check::Entry;

const std::vector<Entry> kEntries{
    {1, 100, "boathouse", check::BenchBegun{"slip-window"}},
    {2, 200, "boathouse",
     check::BenchAnswered{1, "slip-window", "jump-ends", check::Answer::kNo, ""}},
    {3, 300, "boathouse", check::WalkBegun{check::WalkBy::kNearest, {"slip-window", "gable-line"}}},
    {4, 400, "boathouse",
     check::WalkAnswered{3, "slip-window", check::Seen::kAnother, "gable-line", ""}},
    {5, 500, "boathouse", check::WalkAnswered{3, "gable-line", check::Seen::kAnother, "", ""}},
    {6, 600, "boathouse", check::FindBegun{"slip-window", check::FindPlace::kYard, "walk"}},
    {7, 700, "boathouse",
     check::FindAnswered{6, "slip-window", 1, "other: which prop lit instead", "\"gable-line\""}},
    {8, 800, "boathouse",
     check::FindAnswered{6, "slip-window", 2, "last-lit: in green", "\"hoist-ring\""}},
    {9, 900, "boathouse",
     check::FindConcluded{.find = 6,
                          .prop = "slip-window",
                          .fault = "leads-exchanged=gable-line",
                          .second = "",
                          .station = "",
                          .certainty = 980,
                          .also_possible = "",
                          .questions = 2}},
    {10, 1000, "boathouse",
     check::FindRepaired{6, "slip-window", check::Repair::kWasAnother, "leads-exchanged=hoist-ring",
                         ""}}};

std::string numbers(const Filter& filter) {
  std::string text;
  for (const Entry& entry : filtered(kEntries, filter)) text += std::to_string(entry.number) + ' ';
  return text;
}

TEST(Kind, HasAWord) {
  EXPECT_STREQ(to_text(Kind::kBench), "bench");
  EXPECT_STREQ(to_text(Kind::kWalk), "walk");
  EXPECT_STREQ(to_text(Kind::kFind), "find");
  EXPECT_EQ(kind_from("bench"), Kind::kBench);
  EXPECT_EQ(kind_from("walk"), Kind::kWalk);
  EXPECT_EQ(kind_from("find"), Kind::kFind);
  EXPECT_EQ(kind_from("Find"), std::nullopt);
  EXPECT_EQ(kind_from(""), std::nullopt);
}

TEST(Entries, NameTheirProps) {
  std::string named;
  for (const Entry& entry : kEntries) {
    named += names_prop(entry, "slip-window") ? 's' : '-';
    named += names_prop(entry, "gable-line") ? 'g' : '-';
    named += names_prop(entry, "hoist-ring") ? 'h' : '-';
    named += ' ';
  }
  EXPECT_EQ(named, "s-- s-- sg- sg- -g- s-- sg- s-- sg- s-h ");
}

TEST(Filter, LetsAllPassUnlessItAsks) { EXPECT_EQ(numbers({}), "1 2 3 4 5 6 7 8 9 10 "); }

TEST(Filter, GoesByKind) {
  EXPECT_EQ(numbers({.kinds = {Kind::kBench}}), "1 2 ");
  EXPECT_EQ(numbers({.kinds = {Kind::kWalk}}), "3 4 5 ");
  EXPECT_EQ(numbers({.kinds = {Kind::kFind}}), "6 7 8 9 10 ");
  EXPECT_EQ(numbers({.kinds = {Kind::kFind, Kind::kBench}}), "1 2 6 7 8 9 10 ");
}

TEST(Filter, GoesByTimeFromTheSecondThatIsAsked) {
  EXPECT_EQ(numbers({.since = 800}), "8 9 10 ");
  EXPECT_EQ(numbers({.since = 801}), "9 10 ");
  EXPECT_EQ(numbers({.since = -1}), "1 2 3 4 5 6 7 8 9 10 ");
  EXPECT_EQ(numbers({.since = 1001}), "");
}

TEST(Filter, WantsEverythingAtOnce) {
  EXPECT_EQ(numbers({.prop = "gable-line", .kinds = {Kind::kWalk, Kind::kFind}, .since = 400}),
            "4 5 7 9 ");
}

}  // namespace
}  // namespace panewalk::logbook
