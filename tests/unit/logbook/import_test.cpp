#include "logbook/import.hpp"

#include <gtest/gtest.h>

#include "logbook/export.hpp"

namespace panewalk::logbook {
namespace {

using check::Entry;

/// One of each kind, and each way that a field may be empty. Answers as check::as_json writes them.
const std::vector<Entry> kAll{
    {1, 1'795'626'501, "boathouse", check::BenchBegun{"slip-window"}},
    {2, 1'795'626'502, "boathouse",
     check::BenchAnswered{1, "slip-window", "jump-ends", check::Answer::kNo, "über B2,\n\"dark\""}},
    {3, 0, "boathouse", check::WalkBegun{check::WalkBy::kNearest, {"slip-window", "gable-line"}}},
    {4, 253'402'300'799, "boathouse",
     check::WalkAnswered{3, "slip-window", check::Seen::kAnother, "gable-line", ""}},
    {5, 1'795'626'505, "boathouse",
     check::WalkAnswered{3, "gable-line", check::Seen::kAnother, "", ""}},
    {7, 1'795'626'507, "boathouse",
     check::FindBegun{"slip-window", check::FindPlace::kYard, "walk", "9f86d081884c7d65"}},
    {8, 1'795'626'508, "boathouse",
     check::FindAnswered{7, "slip-window", 1, "same: in red", "\"yes\""}},
    {9, 1'795'626'509, "boathouse",
     check::FindAnswered{7, "slip-window", 2, "where: pixels 3, 9 and 27", R"(["A1", "B2"])"}},
    {10, 1'795'626'510, "boathouse",
     check::FindAnswered{7, "slip-window", 3, "where: pixel 4", "[]"}},
    {11, 1'795'626'511, "boathouse",
     check::FindConcluded{7, "slip-window", "data-open=17", "turned", "A1-B1/2", 17, 873,
                          "count-short=17 0.12, power-open=17 0.005", 3}},
    {12, 1'795'626'512, "boathouse",
     check::FindConcluded{7, "slip-window", "none", "", "", 0, 1000, "", 1}},
    {13, 1'795'626'513, "boathouse",
     check::FindRepaired{7, "slip-window", check::Repair::kNotMended, "", "still dark"}},
    {14, 1'795'626'514, "boathouse",
     check::FindRepaired{7, "slip-window", check::Repair::kWasAnother, "nulls=1", ""}}};

std::string told(const std::string& text) {
  const auto read = read_export(text, "boathouse");
  std::string lines;
  if (read) return "read";
  for (base::Problem problem : read.error()) {
    problem.file = "book.json";
    lines += base::to_line(problem) + '\n';
  }
  return lines;
}

TEST(Export, IsReadBackAsItWas) {
  const auto read = read_export(entries_as_json("boathouse", kAll), "boathouse");
  ASSERT_TRUE(read);
  EXPECT_EQ(read.value(), kAll);
}

TEST(Export, KeepsEveryThousandthOfACertainty) {
  std::vector<Entry> all;
  for (int certainty = 0; certainty <= 1000; ++certainty) {
    all.push_back({certainty + 1, 0, "boathouse",
                   check::FindConcluded{2000, "slip-window", "none", "", "", 0, certainty, "", 1}});
  }
  all.insert(all.begin(), Entry{.number = 2000, .event = check::FindBegun{"slip-window"}});
  for (Entry& entry : all) entry.number += entry.number < 2000 ? 2000 : 0;
  all.front().site = "boathouse";
  const auto read = read_export(entries_as_json("boathouse", all), "boathouse");
  ASSERT_TRUE(read);
  EXPECT_EQ(read.value(), all);
}

TEST(Export, OfSomeEntriesIsReadToo) {
  const std::vector<Entry> answer{kAll[1]};
  const auto read = read_export(entries_as_json("boathouse", answer), "boathouse");
  ASSERT_TRUE(read);
  EXPECT_EQ(read.value(), answer);
}

TEST(Export, IsSortedByItsNumbers) {
  const std::vector<Entry> newest_first{kAll.rbegin(), kAll.rend()};
  const auto read = read_export(entries_as_json("boathouse", newest_first), "boathouse");
  ASSERT_TRUE(read);
  EXPECT_EQ(read.value(), kAll);
}

TEST(Export, FromBeforeItNamedItsSiteIsReadToo) {
  const auto read = read_export(R"({"entries": []})", "boathouse");
  ASSERT_TRUE(read);
  EXPECT_TRUE(read.value().empty());
}

TEST(Export, OfAnotherSiteIsRefused) {
  EXPECT_EQ(
      told(R"({"site": "jetty", "entries": []})"),
      "book.json:1:10: /site: these are entries of \"jetty\"; the site here is \"boathouse\"\n");
}

TEST(Export, ThatIsNoneIsRefused) {
  for (const char* other : {"entry,at,kind\n", "[]", "", " \r\n"}) {
    EXPECT_EQ(told(other),
              "book.json: this is no export of a logbook; make one with `panewalk logbook SITE "
              "--as json`\n");
  }
  EXPECT_EQ(told("\n{]"),
            "book.json:2:2: found \"]\"; a name in double quotes or \"}\" is needed\n");
  EXPECT_EQ(told("{}"), "book.json:1:1: /entries: missing; a list of entries\n");
  EXPECT_EQ(told(R"({"entries": 3, "mood": 1})"),
            "book.json:1:13: /entries: found the number 3; a list of entries is needed\n"
            "book.json:1:16: /mood: unknown name; allowed: \"site\" or \"entries\"\n");
}

TEST(Export, IsToldEverythingThatIsWrongWithIt) {
  EXPECT_EQ(told(R"({"entries": [
{"entry": 0, "at": "2026-02-30T00:00:00Z", "kind": "bench begun", "prop": "slip window"},
{"entry": 1.5, "at": "2026-11-25T24:00:00Z", "kind": "tea break"},
{"entry": 3, "at": "1969-12-31T23:59:59Z", "kind": "bench answer", "check": "2", "prop": "p",
 "step": "", "answer": "maybe", "note": "a\tb"},
{"entry": 4, "at": 5, "kind": "find answer", "find": 1, "prop": "p", "question": 0, "asked": "s",
 "answer": {}},
{"entry": 5, "at": "2026-11-25T17:08:21z", "kind": "finding", "find": 1, "prop": "p",
 "fault": "none", "index": 0, "certainty": 0.9925, "questions": -1, "mood": "low"}
]})"),
            "book.json:2:11: /entries/0/entry: 0 is out of range; from 1 to 2147483647\n"
            "book.json:2:20: /entries/0/at: \"2026-02-30T00:00:00Z\" is no time; UTC from 1970 "
            "on, written as 2026-11-25T17:08:21Z\n"
            "book.json:2:75: /entries/0/prop: \"slip window\" can't be a name; 1 to 40 "
            "letters, digits, \"-\" or \"_\"\n"
            "book.json:3:11: /entries/1/entry: 1.5 is not whole; a whole number from 1 to "
            "2147483647\n"
            "book.json:3:22: /entries/1/at: \"2026-11-25T24:00:00Z\" is no time; UTC from 1970 "
            "on, written as 2026-11-25T17:08:21Z\n"
            "book.json:3:54: /entries/1/kind: \"tea break\" is not known; allowed: \"bench "
            "begun\", \"bench answer\", \"walk begun\", \"walk answer\", \"find begun\", "
            "\"find answer\", \"finding\" or \"repair\"\n"
            "book.json:4:20: /entries/2/at: \"1969-12-31T23:59:59Z\" is no time; UTC from 1970 "
            "on, written as 2026-11-25T17:08:21Z\n"
            "book.json:4:77: /entries/2/check: found the text \"2\"; a whole number from 1 to "
            "2147483647 is needed\n"
            "book.json:5:10: /entries/2/step: an empty text; from 1 to 40 characters\n"
            "book.json:5:24: /entries/2/answer: \"maybe\" is not known; allowed: \"yes\", "
            "\"no\", \"unsure\" or \"skipped\"\n"
            "book.json:5:41: /entries/2/note: \"a\\u0009b\" has a control character in it; "
            "plain text\n"
            "book.json:6:20: /entries/3/at: found the number 5; a text in double quotes is "
            "needed\n"
            "book.json:6:82: /entries/3/question: 0 is out of range; from 1 to 2147483647\n"
            "book.json:7:12: /entries/3/answer: found an object; a text or a list of texts is "
            "needed\n"
            "book.json:8:20: /entries/4/at: \"2026-11-25T17:08:21z\" is no time; UTC from 1970 "
            "on, written as 2026-11-25T17:08:21Z\n"
            "book.json:9:28: /entries/4/index: 0 is out of range; from 1 to 2147483647\n"
            "book.json:9:44: /entries/4/certainty: found the number 0.9925; a number from 0 to "
            "1, in thousandths is needed\n"
            "book.json:9:65: /entries/4/questions: -1 is out of range; from 0 to 2147483647\n"
            "book.json:9:69: /entries/4/mood: unknown name; allowed: \"entry\", \"at\", "
            "\"kind\", \"find\", \"prop\", \"fault\", \"and\", \"station\", \"certainty\", "
            "\"also_possible\", \"questions\" or \"index\"\n");
}

TEST(Export, HasItsBounds) {
  std::string many = "0";
  for (int i = 0; i < 50'000; ++i) many += ",0";
  EXPECT_EQ(told("{\"entries\": [" + many + "]}"),
            "book.json:1:13: /entries: a list of 50001; at most 50000\n");
  EXPECT_EQ(told(std::string((16U << 20U) + 1, ' ')),
            "book.json: the text has 16777217 bytes; at most 16777216\n");
  EXPECT_EQ(told(R"({"entries": [[[[[0]]]]]})"),
            "book.json:1:16: too deep: lists and objects inside each other; at most 4\n");
}

TEST(Export, OfWhatDoesNotBelongTogetherIsRefused) {
  EXPECT_EQ(told(R"({"entries": [
{"entry": 1, "at": "2026-11-25T17:08:21Z", "kind": "bench begun", "prop": "slip-window"},
{"entry": 1, "at": "2026-11-25T17:08:21Z", "kind": "bench begun", "prop": "gable-line"},
{"entry": 3, "at": "2026-11-25T17:08:21Z", "kind": "walk answer", "walk": 1, "prop": "slip-window",
 "seen": "nothing", "other": null, "note": ""},
{"entry": 4, "at": "2026-11-25T17:08:21Z", "kind": "bench answer", "check": 1, "prop": "oar-rack",
 "step": "ruler", "answer": "yes", "note": ""},
{"entry": 5, "at": "2026-11-25T17:08:21Z", "kind": "bench answer", "check": 5,
 "prop": "slip-window", "step": "ruler", "answer": "yes", "note": ""},
{"entry": 6, "at": "2026-11-25T17:08:21Z", "kind": "repair", "find": 2, "prop": "slip-window",
 "repair": "mended", "fault": "turned", "note": ""}
]})"),
            "book.json:3:1: /entries/1: a second entry 1; each number once\n"
            "book.json:4:1: /entries/2: entry 3 says that entry 1 began it; what began it "
            "comes before it and is of the same kind and prop\n"
            "book.json:6:1: /entries/3: entry 4 says that entry 1 began it; what began it "
            "comes before it and is of the same kind and prop\n"
            "book.json:8:1: /entries/4: entry 5 says that entry 5 began it; what began it "
            "comes before it and is of the same kind and prop\n"
            "book.json:10:1: /entries/5: entry 6 is none that the fault finder writes; texts "
            "of 4000 bytes at most; the fault of a repair only where it was another\n");
}

}  // namespace
}  // namespace panewalk::logbook
