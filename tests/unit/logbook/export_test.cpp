#include "logbook/export.hpp"

#include <gtest/gtest.h>

namespace panewalk::logbook {
namespace {

using check::Entry;

const std::vector<Entry> kEntries{
    {1, 1'795'626'501, "boathouse", check::BenchBegun{"slip-window"}},
    {2, 1'795'626'502, "boathouse",
     check::BenchAnswered{1, "slip-window", "jump-ends", check::Answer::kNo, "über B2,\n\"dark\""}},
    {3, 1'795'626'503, "boathouse",
     check::WalkBegun{check::WalkBy::kNearest, {"slip-window", "gable-line"}}},
    {4, 1'795'626'504, "boathouse",
     check::WalkAnswered{3, "slip-window", check::Seen::kAnother, "gable-line", "\x1b[2J"}},
    {5, 1'795'626'505, "boathouse",
     check::WalkAnswered{3, "gable-line", check::Seen::kAnother, "",
                         "\xc2\x9b"
                         "2J"}}};

TEST(Entries, AreJsonWithTheFieldsOfTheirKind) {
  EXPECT_EQ(entries_as_json("boathouse", kEntries), R"({
  "site": "boathouse",
  "entries": [
    {
      "entry": 1,
      "at": "2026-11-25T17:08:21Z",
      "kind": "bench begun",
      "prop": "slip-window"
    },
    {
      "entry": 2,
      "at": "2026-11-25T17:08:22Z",
      "kind": "bench answer",
      "check": 1,
      "prop": "slip-window",
      "step": "jump-ends",
      "answer": "no",
      "note": "über B2,\n\"dark\""
    },
    {
      "entry": 3,
      "at": "2026-11-25T17:08:23Z",
      "kind": "walk begun",
      "by": "nearest",
      "order": [
        "slip-window",
        "gable-line"
      ]
    },
    {
      "entry": 4,
      "at": "2026-11-25T17:08:24Z",
      "kind": "walk answer",
      "walk": 3,
      "prop": "slip-window",
      "seen": "another prop",
      "other": "gable-line",
      "note": "\u001b[2J"
    },
    {
      "entry": 5,
      "at": "2026-11-25T17:08:25Z",
      "kind": "walk answer",
      "walk": 3,
      "prop": "gable-line",
      "seen": "another prop",
      "other": null,
      "note": ")"
                                                    "\xc2\x9b"
                                                    R"(2J"
    }
  ]
}
)");
}

TEST(Entries, AreCsvAsRfc4180HasIt) {
  EXPECT_EQ(
      entries_as_csv(kEntries),
      "entry,at,kind,prop,check,walk,step,answer,seen,other,by,order,note,find,place,from,"
      "question,asked,fault,and,index,station,certainty,also_possible,questions,repair\r\n"
      "1,2026-11-25T17:08:21Z,bench begun,slip-window,,,,,,,,,,,,,,,,,,,,,,\r\n"
      "2,2026-11-25T17:08:22Z,bench answer,slip-window,1,,jump-ends,no,,,,,"
      "\"über B2,\n\"\"dark\"\"\",,,,,,,,,,,,,\r\n"
      "3,2026-11-25T17:08:23Z,walk begun,,,,,,,,nearest,slip-window gable-line,,,,,,,,,,,,,,\r\n"
      "4,2026-11-25T17:08:24Z,walk answer,slip-window,,3,,,another prop,gable-line,,,"
      "\x1b[2J,,,,,,,,,,,,,\r\n"
      "5,2026-11-25T17:08:25Z,walk answer,gable-line,,3,,,another prop,,,,\xc2\x9b"
      "2J,,,,,,,,,,,,,\r\n");
}

TEST(Entries, AreATableThatLeavesTheTerminalAlone) {
  EXPECT_EQ(entries_as_table(kEntries),
            "when                  what                   prop         answer                    "
            "note\n"
            "2026-11-25T17:08:21Z  bench begun            slip-window\n"
            "2026-11-25T17:08:22Z  bench jump-ends        slip-window  no                        "
            "über B2,\\u000a\"dark\"\n"
            "2026-11-25T17:08:23Z  walk begun by nearest                                         "
            "slip-window, gable-line\n"
            "2026-11-25T17:08:24Z  walk                   slip-window  another prop: gable-line  "
            "\\u001b[2J\n"
            "2026-11-25T17:08:25Z  walk                   gable-line   another prop              "
            "\\u009b2J\n");
}

const std::vector<Entry> kOfTheFinder{
    {6, 1'795'626'506, "boathouse",
     check::FindBegun{"slip-window", check::FindPlace::kBench, "bench ruler"}},
    {7, 1'795'626'507, "boathouse",
     check::FindBegun{"slip-window", check::FindPlace::kYard, "", "9f86d081884c7d65"}},
    {8, 1'795'626'508, "boathouse",
     check::FindAnswered{7, "slip-window", 1, "same: in red", "\"yes\""}},
    {9, 1'795'626'509, "boathouse",
     check::FindAnswered{7, "slip-window", 2, "where: pixels 3, 9 and 27", R"(["A1","B2"])"}},
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

TEST(EntriesOfTheFinder, AreJsonWithTheFieldsOfTheirKind) {
  EXPECT_EQ(entries_as_json("boathouse", kOfTheFinder), R"({
  "site": "boathouse",
  "entries": [
    {
      "entry": 6,
      "at": "2026-11-25T17:08:26Z",
      "kind": "find begun",
      "prop": "slip-window",
      "place": "bench",
      "from": "bench ruler",
      "described": null
    },
    {
      "entry": 7,
      "at": "2026-11-25T17:08:27Z",
      "kind": "find begun",
      "prop": "slip-window",
      "place": "yard",
      "from": null,
      "described": "9f86d081884c7d65"
    },
    {
      "entry": 8,
      "at": "2026-11-25T17:08:28Z",
      "kind": "find answer",
      "find": 7,
      "prop": "slip-window",
      "question": 1,
      "asked": "same: in red",
      "answer": "yes"
    },
    {
      "entry": 9,
      "at": "2026-11-25T17:08:29Z",
      "kind": "find answer",
      "find": 7,
      "prop": "slip-window",
      "question": 2,
      "asked": "where: pixels 3, 9 and 27",
      "answer": [
        "A1",
        "B2"
      ]
    },
    {
      "entry": 10,
      "at": "2026-11-25T17:08:30Z",
      "kind": "find answer",
      "find": 7,
      "prop": "slip-window",
      "question": 3,
      "asked": "where: pixel 4",
      "answer": []
    },
    {
      "entry": 11,
      "at": "2026-11-25T17:08:31Z",
      "kind": "finding",
      "find": 7,
      "prop": "slip-window",
      "fault": "data-open=17",
      "and": "turned",
      "index": 17,
      "station": "A1-B1/2",
      "certainty": 0.873,
      "also_possible": "count-short=17 0.12, power-open=17 0.005",
      "questions": 3
    },
    {
      "entry": 12,
      "at": "2026-11-25T17:08:32Z",
      "kind": "finding",
      "find": 7,
      "prop": "slip-window",
      "fault": "none",
      "and": null,
      "index": null,
      "station": null,
      "certainty": 1.0,
      "also_possible": null,
      "questions": 1
    },
    {
      "entry": 13,
      "at": "2026-11-25T17:08:33Z",
      "kind": "repair",
      "find": 7,
      "prop": "slip-window",
      "repair": "not mended",
      "fault": null,
      "note": "still dark"
    },
    {
      "entry": 14,
      "at": "2026-11-25T17:08:34Z",
      "kind": "repair",
      "find": 7,
      "prop": "slip-window",
      "repair": "was another fault",
      "fault": "nulls=1",
      "note": ""
    }
  ]
}
)");
}

TEST(EntriesOfTheFinder, AreCsvWithColumnsAfterTheOthers) {
  EXPECT_EQ(
      entries_as_csv(kOfTheFinder),
      "entry,at,kind,prop,check,walk,step,answer,seen,other,by,order,note,find,place,from,"
      "question,asked,fault,and,index,station,certainty,also_possible,questions,repair\r\n"
      "6,2026-11-25T17:08:26Z,find begun,slip-window,,,,,,,,,,,bench,bench ruler,,,,,,,,,,\r\n"
      "7,2026-11-25T17:08:27Z,find begun,slip-window,,,,,,,,,,,yard,,,,,,,,,,,\r\n"
      "8,2026-11-25T17:08:28Z,find answer,slip-window,,,,yes,,,,,,7,,,1,same: in red,,,,,,,,\r\n"
      "9,2026-11-25T17:08:29Z,find answer,slip-window,,,,A1 B2,,,,,,7,,,2,"
      "\"where: pixels 3, 9 and 27\",,,,,,,,\r\n"
      "10,2026-11-25T17:08:30Z,find answer,slip-window,,,,none,,,,,,7,,,3,where: pixel 4,"
      ",,,,,,,\r\n"
      "11,2026-11-25T17:08:31Z,finding,slip-window,,,,,,,,,,7,,,,,data-open=17,turned,17,A1-B1/2,"
      "0.873,\"count-short=17 0.12, power-open=17 0.005\",3,\r\n"
      "12,2026-11-25T17:08:32Z,finding,slip-window,,,,,,,,,,7,,,,,none,,,,1.000,,1,\r\n"
      "13,2026-11-25T17:08:33Z,repair,slip-window,,,,,,,,,still dark,7,,,,,,,,,,,,not mended\r\n"
      "14,2026-11-25T17:08:34Z,repair,slip-window,,,,,,,,,,7,,,,,nulls=1,,,,,,,"
      "was another fault\r\n");
}

TEST(EntriesOfTheFinder, AreATable) {
  EXPECT_EQ(
      entries_as_table(kOfTheFinder),
      "when                  what                     prop         answer                      "
      "note\n"
      "2026-11-25T17:08:26Z  find begun on the bench  slip-window                              "
      "from bench ruler\n"
      "2026-11-25T17:08:27Z  find begun in the yard   slip-window\n"
      "2026-11-25T17:08:28Z  find question 1          slip-window  yes                         "
      "same: in red\n"
      "2026-11-25T17:08:29Z  find question 2          slip-window  A1, B2                      "
      "where: pixels 3, 9 and 27\n"
      "2026-11-25T17:08:30Z  find question 3          slip-window  none                        "
      "where: pixel 4\n"
      "2026-11-25T17:08:31Z  finding                  slip-window  data-open=17 and turned     "
      "pixel 17, station A1-B1/2, 87.3 % sure after 3 questions, also possible: "
      "count-short=17 0.12, power-open=17 0.005\n"
      "2026-11-25T17:08:32Z  finding                  slip-window  none                        "
      "100 % sure after 1 question\n"
      "2026-11-25T17:08:33Z  repair                   slip-window  not mended                  "
      "still dark\n"
      "2026-11-25T17:08:34Z  repair                   slip-window  was another fault: nulls=1\n");
}

/// The cell of an answer in the CSV form.
std::string answer_cell(const std::string& json) {
  const std::string text = entries_as_csv(
      std::vector<Entry>{{1, 0, "boathouse", check::FindAnswered{1, "p", 1, "same:", json}}});
  const std::string before = "find answer,p,,,,";
  const auto start = text.find(before) + before.size();
  return text.substr(start, text.rfind(",,,,,,1,,,1,same:") - start);
}

TEST(EntriesOfTheFinder, ShowAnAnswerOfAnotherFormAsItIs) {
  EXPECT_EQ(answer_cell(R"("über \u00fc")"), "über ü");
  EXPECT_EQ(answer_cell("12"), "12");
  EXPECT_EQ(answer_cell("[1]"), "[1]");
  EXPECT_EQ(answer_cell("null"), "null");
  EXPECT_EQ(answer_cell("no JSON"), "no JSON");
}

TEST(Entries, MayBeNone) {
  EXPECT_EQ(entries_as_json("boathouse", {}),
            "{\n  \"site\": \"boathouse\",\n  \"entries\": []\n}\n");
  EXPECT_EQ(entries_as_csv({}),
            "entry,at,kind,prop,check,walk,step,answer,seen,other,by,order,note,find,place,from,"
            "question,asked,fault,and,index,station,certainty,also_possible,questions,repair\r\n");
  EXPECT_EQ(entries_as_table({}), "when  what  prop  answer  note\n");
}

}  // namespace
}  // namespace panewalk::logbook
