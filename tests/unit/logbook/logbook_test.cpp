#include "logbook/logbook.hpp"

#include <filesystem>

#include "book.hpp"

namespace panewalk::logbook {
namespace {

using check::Answer;
using check::BenchAnswered;
using check::BenchBegun;
using check::FindAnswered;
using check::FindBegun;
using check::FindConcluded;
using check::FindPlace;
using check::FindRepaired;
using check::Repair;
using check::Seen;
using check::WalkAnswered;
using check::WalkBegun;
using check::WalkBy;
using test::added;
using test::opened;
using test::TempFolder;
using test::told;

std::vector<Entry> entries_of(Logbook& book, const std::string& site) {
  auto entries = book.entries(site);
  if (entries) return std::move(entries).value();
  ADD_FAILURE() << told(entries.error());
  return {};
}

EntryNumber newest_of(Logbook& book) {
  const auto newest = book.newest();
  if (newest) return newest.value();
  ADD_FAILURE() << told(newest.error());
  return -1;
}

TEST(Logbook, LiesInTheStateFolder) {
  EXPECT_EQ(path_in("/var/lib/panewalk"), "/var/lib/panewalk/logbook.sqlite");
}

TEST(Logbook, BeginsEmpty) {
  const TempFolder folder;
  const auto book = opened(folder / "logbook.sqlite");
  EXPECT_EQ(newest_of(*book), 0);
  EXPECT_EQ(entries_of(*book, "boathouse"), std::vector<Entry>{});
}

TEST(Logbook, GivesBackEveryKindOfEventAfterItWasClosed) {
  const TempFolder folder;
  std::vector<check::Event> events{BenchBegun{"slip-window"}};
  for (const auto answer : {Answer::kYes, Answer::kNo, Answer::kUnsure, Answer::kSkipped}) {
    events.emplace_back(BenchAnswered{1, "slip-window", "colour-order", answer, "far end"});
  }
  events.emplace_back(WalkBegun{WalkBy::kOrder, {"slip-window", "gable-line", "hoist-ring"}});
  events.emplace_back(WalkBegun{WalkBy::kNearest, {"gable-line", "slip-window"}});
  events.emplace_back(WalkBegun{WalkBy::kNearest, {}});
  for (const auto seen : {Seen::kAsDrawn, Seen::kNothing, Seen::kWrong}) {
    events.emplace_back(WalkAnswered{6, "gable-line", seen, "", "at dusk"});
  }
  events.emplace_back(WalkAnswered{6, "gable-line", Seen::kAnother, "hoist-ring", ""});
  events.emplace_back(WalkAnswered{6, "gable-line", Seen::kAnother, "", ""});
  events.emplace_back(FindBegun{"slip-window", FindPlace::kBench, "bench ruler", "0f5a"});
  events.emplace_back(FindBegun{"slip-window", FindPlace::kYard, ""});
  events.emplace_back(FindAnswered{14, "slip-window", 1, "same: in red", "\"yes\""});
  events.emplace_back(
      FindAnswered{14, "slip-window", 2, "where: pixels 3, 9 and 27 in green", R"(["A1","B2"])"});
  events.emplace_back(FindConcluded{.find = 14,
                                    .prop = "slip-window",
                                    .fault = "data-open=17",
                                    .second = "pixel-colour=3:red",
                                    .station = "A1-B1/2",
                                    .index = 17,
                                    .certainty = 1000,
                                    .also_possible = "count-short=17 0.12, power-open=17 0.05",
                                    .questions = 7});
  events.emplace_back(FindConcluded{.find = 15,
                                    .prop = "slip-window",
                                    .fault = "none",
                                    .second = "",
                                    .station = "",
                                    .also_possible = ""});
  for (const auto repair : {Repair::kMended, Repair::kNotMended, Repair::kWasAnother}) {
    events.emplace_back(FindRepaired{14, "slip-window", repair, "", "cold\njoint"});
  }
  events.emplace_back(FindRepaired{14, "slip-window", Repair::kWasAnother, "nulls=1", ""});
  std::vector<Entry> written;
  {
    const auto book = opened(folder / "logbook.sqlite");
    for (const auto& event : events) {
      const auto at = 1'795'626'501 + static_cast<std::int64_t>(written.size());
      const auto entry = book->add("boathouse", event, at);
      ASSERT_TRUE(entry) << told(entry.error());
      EXPECT_EQ(entry.value().number, std::ssize(written) + 1);
      EXPECT_EQ(entry.value().at, at);
      EXPECT_EQ(entry.value().site, "boathouse");
      EXPECT_EQ(entry.value().event, event);
      written.push_back(entry.value());
    }
  }
  const auto again = opened(folder / "logbook.sqlite");
  EXPECT_EQ(entries_of(*again, "boathouse"), written);
  EXPECT_EQ(newest_of(*again), 23);
}

TEST(LogbookDeathTest, TakesNoEventThatItCouldNotReadBack) {
  const TempFolder folder;
  const auto book = opened(folder / "logbook.sqlite");
  const check::Event broken[] = {FindAnswered{1, "slip-window", 1, "same: in red", "yes"},
                                 FindAnswered{1, "slip-window", 0, "same: in red", "\"yes\""},
                                 FindRepaired{1, "slip-window", Repair::kMended, "turned", ""}};
  for (const auto& event : broken) {
    EXPECT_DEATH(static_cast<void>(book->add("boathouse", event, 0)),
                 "panewalk: bug at .*logbook\\.cpp:.*to_event");
  }
  EXPECT_EQ(newest_of(*book), 0);
}

TEST(Logbook, GoesByNumberWhereTheClockWasSetBack) {
  const TempFolder folder;
  const auto book = opened(folder / "logbook.sqlite");
  added(*book, BenchBegun{"slip-window"}, "boathouse", 2000);
  added(*book, BenchBegun{"gable-line"}, "boathouse", 1000);
  const auto entries = entries_of(*book, "boathouse");
  ASSERT_EQ(entries.size(), 2U);
  EXPECT_EQ(entries[0].at, 2000);
  EXPECT_EQ(entries[1].at, 1000);
}

TEST(Logbook, KeepsSitesApart) {
  const TempFolder folder;
  const auto book = opened(folder / "logbook.sqlite");
  EXPECT_EQ(added(*book, BenchBegun{"slip-window"}, "boathouse"), 1);
  EXPECT_EQ(added(*book, BenchBegun{"slip-window"}, "Boathouse"), 2);
  EXPECT_EQ(added(*book, BenchBegun{"slip-window"}, "boathouse"), 3);
  const auto entries = entries_of(*book, "boathouse");
  ASSERT_EQ(entries.size(), 2U);
  EXPECT_EQ(entries[0].number, 1);
  EXPECT_EQ(entries[1].number, 3);
  EXPECT_EQ(entries_of(*book, "boat").size(), 0U);
  EXPECT_EQ(newest_of(*book), 3);
}

TEST(Logbook, KeepsTextAsItIs) {
  const TempFolder folder;
  const std::string notes[] = {"",
                               "it's \"loose\"'; DROP TABLE entry; --",
                               "line one\r\nline two\ttab",
                               "Fenster über der Slipanlage ✓ 🛶",
                               std::string{"before\0after", 12},
                               std::string(10'000, 'n')};
  const auto book = opened(folder / "logbook.sqlite");
  for (const auto& note : notes) {
    added(*book, BenchAnswered{1, "slip-window", "ruler", Answer::kNo, note});
  }
  const auto entries = entries_of(*opened(folder / "logbook.sqlite"), "boathouse");
  ASSERT_EQ(entries.size(), std::size(notes));
  for (std::size_t i = 0; i < entries.size(); ++i) {
    EXPECT_EQ(std::get<BenchAnswered>(entries[i].event).note, notes[i]);
  }
}

TEST(Logbook, IsWrittenByTwoAtOnce) {
  const TempFolder folder;
  const auto one = opened(folder / "logbook.sqlite");
  const auto two = opened(folder / "logbook.sqlite");
  EXPECT_EQ(added(*one, BenchBegun{"slip-window"}), 1);
  EXPECT_EQ(newest_of(*two), 1);
  EXPECT_EQ(added(*two, WalkBegun{WalkBy::kOrder, {"gable-line"}}), 2);
  EXPECT_EQ(newest_of(*one), 2);
  EXPECT_EQ(added(*one, BenchBegun{"slip-window"}), 3);
  EXPECT_EQ(entries_of(*one, "boathouse"), entries_of(*two, "boathouse"));
}

TEST(Logbook, RefusesATimeThatNoClockShows) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  const auto book = opened(path);
  for (const std::int64_t at : {std::int64_t{-1}, std::int64_t{253'402'300'800}}) {
    const auto entry = book->add("boathouse", BenchBegun{"slip-window"}, at);
    ASSERT_FALSE(entry);
    EXPECT_EQ(told(entry.error()), path + ": the clock is wrong: it says second " +
                                       std::to_string(at) + "; set the clock of this machine\n");
  }
  EXPECT_EQ(added(*book, BenchBegun{"slip-window"}, "boathouse", 0), 1);
  EXPECT_EQ(added(*book, BenchBegun{"slip-window"}, "boathouse", 253'402'300'799), 2);
}

TEST(Logbook, SaysThatItWasMovedWhileItWasOpen) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  const auto book = opened(path);
  added(*book, BenchBegun{"slip-window"});
  std::filesystem::rename(path, folder / "away.sqlite");
  const std::string moved =
      path +
      ": the logbook was moved or removed while it was open; put it back, or start Panewalk "
      "again for a new one\n";
  const auto entry = book->add("boathouse", BenchBegun{"gable-line"}, 0);
  ASSERT_FALSE(entry);
  EXPECT_EQ(told(entry.error()), moved);
  const auto entries = book->entries("boathouse");
  ASSERT_FALSE(entries);
  EXPECT_EQ(told(entries.error()), moved);
  const auto newest = book->newest();
  ASSERT_FALSE(newest);
  EXPECT_EQ(told(newest.error()), moved);
  std::filesystem::rename(folder / "away.sqlite", path);
  EXPECT_EQ(added(*book, BenchBegun{"gable-line"}), 2);
}

TEST(Logbook, IsReadWhereItMayNotBeMade) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  EXPECT_EQ(entries_of(*opened(path, Access::kRead), "boathouse"), std::vector<Entry>{});
  EXPECT_FALSE(std::filesystem::exists(path));
  test::write(path, "");
  EXPECT_EQ(entries_of(*opened(path, Access::kRead), "boathouse"), std::vector<Entry>{});
  EXPECT_EQ(test::octets(path), "");
}

TEST(Logbook, IsNotWrittenByAReader) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  const auto writer = opened(path);
  added(*writer, BenchBegun{"slip-window"});
  const auto reader = opened(path, Access::kRead);
  EXPECT_EQ(newest_of(*reader), 1);
  const auto entry = reader->add("boathouse", BenchBegun{"gable-line"}, 0);
  ASSERT_FALSE(entry);
  EXPECT_EQ(told(entry.error()), path +
                                     ": the logbook can't be written: it may only be read; the "
                                     "file and its folder \"" +
                                     folder.path().string() +
                                     "\" must be writable for the user who runs this\n");
  EXPECT_EQ(added(*writer, BenchBegun{"gable-line"}), 2);
  EXPECT_EQ(newest_of(*reader), 2);
}

}  // namespace
}  // namespace panewalk::logbook
