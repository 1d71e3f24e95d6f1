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
  EXPECT_EQ(entries_as_json(kEntries), R"({
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
  EXPECT_EQ(entries_as_csv(kEntries),
            "entry,at,kind,prop,check,walk,step,answer,seen,other,by,order,note\r\n"
            "1,2026-11-25T17:08:21Z,bench begun,slip-window,,,,,,,,,\r\n"
            "2,2026-11-25T17:08:22Z,bench answer,slip-window,1,,jump-ends,no,,,,,"
            "\"über B2,\n\"\"dark\"\"\"\r\n"
            "3,2026-11-25T17:08:23Z,walk begun,,,,,,,,nearest,slip-window gable-line,\r\n"
            "4,2026-11-25T17:08:24Z,walk answer,slip-window,,3,,,another prop,gable-line,,,"
            "\x1b[2J\r\n"
            "5,2026-11-25T17:08:25Z,walk answer,gable-line,,3,,,another prop,,,,\xc2\x9b"
            "2J\r\n");
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

TEST(Entries, MayBeNone) {
  EXPECT_EQ(entries_as_json({}), "{\n  \"entries\": []\n}\n");
  EXPECT_EQ(entries_as_csv({}),
            "entry,at,kind,prop,check,walk,step,answer,seen,other,by,order,note\r\n");
  EXPECT_EQ(entries_as_table({}), "when  what  prop  answer  note\n");
}

TEST(Entries, NameTheirProps) {
  std::string named;
  for (const Entry& entry : kEntries) {
    named += names_prop(entry, "slip-window") ? 's' : '-';
    named += names_prop(entry, "gable-line") ? 'g' : '-';
    named += names_prop(entry, "hoist-ring") ? 'h' : '-';
    named += ' ';
  }
  EXPECT_EQ(named, "s-- s-- sg- sg- -g- ");
}

}  // namespace
}  // namespace panewalk::logbook
