#include "logbook/taking.hpp"

#include "book.hpp"
#include "logbook/export.hpp"
#include "logbook/import.hpp"

namespace panewalk::logbook {
namespace {

using test::TempFolder;

const std::vector<Entry> kFrom{
    {1, 101, "boathouse", check::BenchBegun{"slip-window"}},
    {2, 102, "boathouse", check::BenchAnswered{1, "slip-window", "ruler", check::Answer::kYes, ""}},
    {4, 103, "boathouse", check::WalkBegun{check::WalkBy::kOrder, {"slip-window", "gable-line"}}},
    {5, 104, "boathouse", check::WalkAnswered{4, "slip-window", check::Seen::kNothing, "", "dark"}},
    {7, 105, "boathouse", check::FindBegun{"slip-window", check::FindPlace::kYard, "walk", "9f86"}},
    {8, 106, "boathouse", check::FindAnswered{7, "slip-window", 1, "where: 1", R"(["A1", "B2"])"}}};

std::vector<Entry> without(std::vector<Entry> entries, std::size_t first) {
  entries.erase(entries.begin() + static_cast<std::ptrdiff_t>(first));
  return entries;
}

TEST(Taking, GivesNumbersAnewAndKeepsWhatBelongsTogether) {
  const Taking taking = plan_taking({}, kFrom, 11);
  EXPECT_EQ(taking.already, 0U);
  EXPECT_EQ(taking.without_beginning, 0U);
  std::vector<Entry> expected = kFrom;
  for (std::size_t i = 0; i < expected.size(); ++i) {
    expected[i].number = 11 + static_cast<EntryNumber>(i);
  }
  std::get<check::BenchAnswered>(expected[1].event).check = 11;
  std::get<check::WalkAnswered>(expected[3].event).walk = 13;
  std::get<check::FindAnswered>(expected[5].event).find = 15;
  EXPECT_EQ(taking.entries, expected);
}

TEST(Taking, TakesNothingTwice) {
  const std::vector<Entry> here = plan_taking({}, kFrom, 11).entries;
  const Taking again = plan_taking(here, kFrom, 17);
  EXPECT_EQ(again.already, 6U);
  EXPECT_TRUE(again.entries.empty());
}

TEST(Taking, AddsToACheckThatIsHere) {
  const std::vector<Entry> half{kFrom.begin(), kFrom.begin() + 1};
  const std::vector<Entry> here = plan_taking({}, half, 11).entries;
  const Taking rest = plan_taking(here, kFrom, 30);
  EXPECT_EQ(rest.already, 1U);
  ASSERT_EQ(rest.entries.size(), 5U);
  EXPECT_EQ(std::get<check::BenchAnswered>(rest.entries[0].event).check, 11);
}

TEST(Taking, KeepsTwoThatAreTheSame) {
  std::vector<Entry> twice = kFrom;
  twice.insert(twice.begin() + 2, kFrom[1]);
  twice[2].number = 3;
  const Taking taking = plan_taking({}, twice, 1);
  EXPECT_EQ(taking.entries.size(), 7U);
  EXPECT_EQ(plan_taking(taking.entries, twice, 8).already, 7U);
  // One is here, the other is not.
  const Taking second = plan_taking(plan_taking({}, kFrom, 1).entries, twice, 8);
  EXPECT_EQ(second.already, 6U);
  EXPECT_EQ(second.entries.size(), 1U);
}

TEST(Taking, OfAnswersWithoutTheirBeginningIsSaid) {
  std::vector<Entry> rest = without(kFrom, 0);
  const Taking taking = plan_taking({}, rest, 11);
  EXPECT_EQ(taking.without_beginning, 1U);
  ASSERT_EQ(taking.entries.size(), 5U);
  // 11 is nobody's, and stays so.
  EXPECT_EQ(taking.entries[0].number, 12);
  EXPECT_EQ(std::get<check::BenchAnswered>(taking.entries[0].event).check, 11);
  EXPECT_EQ(plan_taking(taking.entries, rest, 17).already, 5U);
}

TEST(Taking, FindsTheBeginningByTheOtherAnswers) {
  std::vector<Entry> here = plan_taking({}, kFrom, 11).entries;
  // Exported from a later day on: one answer that is here, and one that is new.
  const std::vector<Entry> later{
      kFrom[1],
      {9, 107, "boathouse",
       check::BenchAnswered{1, "slip-window", "jump-ends", check::Answer::kNo, ""}}};
  const Taking taking = plan_taking(here, later, 17);
  EXPECT_EQ(taking.already, 1U);
  ASSERT_EQ(taking.entries.size(), 1U);
  EXPECT_EQ(std::get<check::BenchAnswered>(taking.entries[0].event).check, 11);
  EXPECT_EQ(taking.entries[0].number, 17);
}

TEST(Taking, GivesAnswersThatCameAloneTheirBeginning) {
  const std::vector<Entry> here = plan_taking({}, without(kFrom, 0), 11).entries;
  ASSERT_EQ(std::get<check::BenchAnswered>(here[0].event).check, 11);
  const Taking all = plan_taking(here, kFrom, 17);
  EXPECT_EQ(all.already, 5U);
  EXPECT_EQ(all.without_beginning, 0U);
  Entry beginning = kFrom[0];
  beginning.number = 11;
  EXPECT_EQ(all.entries, std::vector<Entry>{beginning});
}

TEST(Logbook, TakesAnExportOfAnother) {
  const TempFolder folder;
  const auto bench = test::opened(folder / "bench.sqlite");
  const auto yard = test::opened(folder / "yard.sqlite");
  for (const Entry& entry : plan_taking({}, kFrom, 1).entries) {
    ASSERT_TRUE(bench->add("boathouse", entry.event, entry.at));
  }
  test::added(*yard, check::BenchBegun{"lamp-post"}, "jetty");
  test::added(*yard, check::BenchBegun{"gable-line"});
  const auto exported =
      read_export(entries_as_json("boathouse", bench->entries("boathouse").value()), "boathouse");
  ASSERT_TRUE(exported);
  const auto taken = yard->take("boathouse", exported.value());
  ASSERT_TRUE(taken);
  EXPECT_EQ(taken.value().taken, 6U);
  EXPECT_EQ(taken.value().already, 0U);
  const auto have = yard->entries("boathouse").value();
  ASSERT_EQ(have.size(), 7U);
  EXPECT_EQ(have[0].event, check::Event{check::BenchBegun{"gable-line"}});
  EXPECT_EQ((std::vector<Entry>{have.begin() + 1, have.end()}), plan_taking({}, kFrom, 3).entries);
  EXPECT_EQ(yard->entries("jetty").value().size(), 1U);
  const auto again = yard->take("boathouse", exported.value());
  ASSERT_TRUE(again);
  EXPECT_EQ(again.value().taken, 0U);
  EXPECT_EQ(again.value().already, 6U);
  EXPECT_EQ(yard->entries("boathouse").value(), have);
}

}  // namespace
}  // namespace panewalk::logbook
