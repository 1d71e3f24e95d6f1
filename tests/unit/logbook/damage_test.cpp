#include <algorithm>
#include <filesystem>
#include <random>

#include "book.hpp"
#include "logbook/opening.hpp"
#include "power_disk.hpp"

namespace panewalk::logbook {
namespace {

namespace fs = std::filesystem;
using test::by_another_program;
using test::octets;
using test::PowerDisk;
using test::TempFolder;

constexpr std::size_t kPage =
    4096;  // SQLITE_DEFAULT_PAGE_SIZE of https://www.sqlite.org/compile.html

/// Of every kind, and enough for several pages; one note needs pages of its own.
std::string make_logbook(const std::string& path, int rounds) {
  const auto book = test::opened(path);
  for (int round = 0; round < rounds; ++round) {
    const auto check = test::added(*book, check::BenchBegun{"slip-window"});
    test::added(*book, check::BenchAnswered{check, "slip-window", "ruler", check::Answer::kYes,
                                            std::string(round == 1 ? 9000 : 20, 'n')});
    const auto walk = test::added(
        *book, check::WalkBegun{check::WalkBy::kOrder, {"slip-window", "gable-line", "oar-rack"}});
    test::added(*book, check::WalkAnswered{walk, "gable-line", check::Seen::kNothing, "", "dark"});
    const auto find = test::added(
        *book, check::FindBegun{"gable-line", check::FindPlace::kYard, "walk"}, "jetty");
    test::added(*book, check::FindAnswered{find, "gable-line", 1, "same: in red", "\"no\""},
                "jetty");
    test::added(*book, check::FindConcluded{find, "gable-line", "turned", "", "", 0, 990, "", 1},
                "jetty");
    test::added(*book, check::FindRepaired{find, "gable-line", check::Repair::kMended, "", "hung"},
                "jetty");
  }
  return octets(path);
}

std::vector<Entry> all_of(Logbook& book) {
  std::vector<Entry> all;
  for (const char* site : {"boathouse", "jetty"}) {
    const auto entries = book.entries(site);
    if (!entries) ADD_FAILURE() << test::told(entries.error());
    if (entries) all.insert(all.end(), entries.value().begin(), entries.value().end());
  }
  std::sort(all.begin(), all.end(),
            [](const Entry& a, const Entry& b) { return a.number < b.number; });
  return all;
}

/// The files beside the logbook.
std::vector<std::string> beside(const TempFolder& folder) {
  std::vector<std::string> names;
  for (const auto& each : fs::directory_iterator{folder.path()}) {
    if (each.path().filename() != "logbook.sqlite") names.push_back(each.path().string());
  }
  std::sort(names.begin(), names.end());
  return names;
}

/// Opens it for writing and gives the entries that were carried over; the damaged file must be kept
/// as it was, and the note must be this one.
std::vector<Entry> carried_over(const TempFolder& folder, const std::string& damage,
                                const std::string& what_was_read) {
  const std::string path = folder / "logbook.sqlite";
  const std::string before = octets(path);
  const auto book = test::opened(path);
  if (!book) return {};
  const auto names = beside(folder);
  EXPECT_EQ(names.size(), 1U);
  if (names.empty()) return {};
  // "20261126T161800Z"
  EXPECT_EQ(names.front().size(), path.size() + std::string{".damaged-20261126T161800Z"}.size());
  EXPECT_TRUE(names.front().starts_with(folder / "logbook.damaged-2")) << names.front();
  EXPECT_TRUE(octets(names.front()) == before);
  EXPECT_EQ(test::told(book->notes()), path + ": the logbook was damaged: " + damage +
                                           "; it is kept as \"" + names.front() + "\"; " +
                                           what_was_read + '\n');
  // The next one starts as if nothing had been.
  EXPECT_EQ(test::told(test::opened(path)->notes()), "");
  return all_of(*book);
}

TEST(DamagedLogbook, WithoutItsHeaderIsCarriedOverWhole) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  std::string hurt = make_logbook(path, 3);
  const auto before = all_of(*test::opened(path));
  ASSERT_EQ(before.size(), 24U);
  test::write(path, hurt.replace(0, 100, 100, 'x'));
  EXPECT_EQ(carried_over(folder, "it is no SQLite database",
                         "the 24 entries that could still be read are in a new one"),
            before);
  EXPECT_EQ(test::added(*test::opened(path), check::BenchBegun{"oar-rack"}), 25);
}

TEST(DamagedLogbook, LetsInNobodyElseAfterwards) {
  using std::filesystem::perms;
  for (const perms mode : {perms::owner_read | perms::owner_write,
                           perms::owner_read | perms::owner_write | perms::group_read}) {
    const TempFolder folder;
    const std::string path = folder / "logbook.sqlite";
    std::string hurt = make_logbook(path, 1);
    test::write(path, hurt.replace(0, 100, 100, 'x'));
    std::filesystem::permissions(path, mode);
    ASSERT_TRUE(test::opened(path));
    EXPECT_EQ(std::filesystem::status(path).permissions(), mode);
  }
}

TEST(DamagedLogbook, WithoutItsFirstPageIsCarriedOverWhole) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  std::string hurt = make_logbook(path, 3);
  const auto before = all_of(*test::opened(path));
  test::write(path, hurt.replace(0, kPage, kPage, '\xaa'));
  EXPECT_EQ(carried_over(folder, "it is no SQLite database",
                         "the 24 entries that could still be read are in a new one"),
            before);
}

TEST(DamagedLogbook, LosesNoMoreThanThePageThatIsGone) {
  const TempFolder made;
  const std::string whole = make_logbook(made / "logbook.sqlite", 25);
  const auto before = all_of(*test::opened(made / "logbook.sqlite"));
  ASSERT_GE(whole.size(), 8 * kPage);
  std::size_t most_lost = 0;
  for (std::size_t page = 1; page * kPage < whole.size(); ++page) {
    PowerDisk disk;
    disk.put("/logbook.sqlite", std::string{whole}.replace(page * kPage, kPage, kPage, '\0'));
    const auto book = open_on(disk, "/logbook.sqlite", Access::kWrite);
    ASSERT_TRUE(book);
    ASSERT_EQ(book.value()->notes().size(), 1U) << page;
    const auto carried = all_of(*book.value());
    EXPECT_TRUE(std::includes(before.begin(), before.end(), carried.begin(), carried.end(),
                              [](const Entry& a, const Entry& b) { return a.number < b.number; }));
    for (const Entry& entry : carried) {
      EXPECT_EQ(entry, before.at(static_cast<std::size_t>(entry.number) - 1));
    }
    most_lost = std::max(most_lost, before.size() - carried.size());
  }
  // A page of 4096 octets has about 60 of these entries; all walks hang on one page.
  EXPECT_GT(most_lost, 0U);
  EXPECT_LE(most_lost, 100U);
}

TEST(DamagedLogbook, ThatIsCutShortKeepsWhatIsLeft) {
  const TempFolder made;
  const std::string whole = make_logbook(made / "logbook.sqlite", 25);
  const auto before = all_of(*test::opened(made / "logbook.sqlite"));
  std::size_t at_last = 0;
  for (std::size_t size = kPage; size < whole.size(); size += kPage * 5 / 2) {
    PowerDisk disk;
    disk.put("/logbook.sqlite", whole.substr(0, size));
    const auto book = open_on(disk, "/logbook.sqlite", Access::kWrite);
    ASSERT_TRUE(book);
    const auto carried = all_of(*book.value());
    for (const Entry& entry : carried) {
      EXPECT_EQ(entry, before.at(static_cast<std::size_t>(entry.number) - 1));
    }
    at_last = carried.size();
  }
  EXPECT_GT(at_last, before.size() / 2);
}

TEST(DamagedLogbook, OpensWhateverOctetsAreWrong) {
  const TempFolder made;
  const std::string whole = make_logbook(made / "logbook.sqlite", 4);
  std::mt19937 chance{20261126};
  for (int i = 0; i < 60; ++i) {
    std::string hurt = whole;
    const std::size_t at = 100 + chance() % (whole.size() - 200);  // behind what tells whose it is
    const std::size_t count = 1 + chance() % 100;
    for (std::size_t k = 0; k < count; ++k) hurt[at + k] = static_cast<char>(chance() & 0xffU);
    PowerDisk disk;
    disk.put("/logbook.sqlite", hurt);
    const auto book = open_on(disk, "/logbook.sqlite", Access::kWrite);
    ASSERT_TRUE(book) << i << test::told(book.error());
    all_of(*book.value());
    EXPECT_TRUE(book.value()->add("boathouse", check::BenchBegun{"slip-window"}, 0));
    const auto& names = disk.state().names;
    EXPECT_TRUE(book.value()->notes().empty() ||
                std::any_of(names.begin(), names.end(),
                            [&](const auto& each) {
                              return each.first != "/logbook.sqlite" &&
                                     disk.state().files[each.second] == hurt;
                            }))
        << i;
  }
}

TEST(DamagedLogbook, ThatHasNothingLeftIsBegunAnew) {
  const TempFolder folder;
  test::write(folder / "logbook.sqlite", "S");
  EXPECT_TRUE(carried_over(folder, "it is no SQLite database",
                           "nothing in it could be read, and a new one is begun")
                  .empty());
}

TEST(DamagedLogbook, TakesItsJournalAlong) {
  PowerDisk disk;
  const std::string stale(600, '\0');  // no header: SQLite neither plays it back nor removes it
  disk.put("/logbook.sqlite", "S");
  disk.put("/logbook.sqlite-journal", stale);
  ASSERT_TRUE(open_on(disk, "/logbook.sqlite", Access::kWrite));
  EXPECT_EQ(disk.octets("/logbook.sqlite-journal"), nullptr);
  const auto& names = disk.state().names;
  EXPECT_TRUE(std::any_of(names.begin(), names.end(), [&](const auto& each) {
    return each.first.find(".damaged-") != std::string::npos &&
           each.first.find(".sqlite-journal") != std::string::npos &&
           disk.state().files[each.second] == stale;
  }));
}

TEST(DamagedLogbook, KeepsEachDamagedFile) {
  const TempFolder folder;
  std::vector<std::string> written;
  for (const char* text : {"first", "second", "third"}) {
    test::write(folder / "logbook.sqlite", text);
    EXPECT_EQ(test::refusal(folder / "logbook.sqlite"), "");
    written.emplace_back(text);
  }
  std::vector<std::string> kept;
  for (const std::string& name : beside(folder)) kept.push_back(octets(name));
  std::sort(kept.begin(), kept.end());
  EXPECT_EQ(kept, written);
}

TEST(DamagedLogbook, LeavesOutTheEntryThatCantBeUnderstood) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  make_logbook(path, 1);
  const auto before = all_of(*test::opened(path));
  by_another_program(
      path,
      "INSERT INTO entry (at, site, kind, begun, prop, question, asked, answer) "
      "VALUES (0, 'jetty', 'find answer', 5, 'gable-line', 2, 'same: red', '\"yes')");
  EXPECT_EQ(carried_over(folder, "entry 9 can't be understood",
                         "the 8 entries that could still be read are in a new one"),
            before);
}

TEST(DamagedLogbook, LeavesOutTheEntryThatIsNotAllowed) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  test::added(*test::opened(path), check::BenchBegun{"slip-window"});
  by_another_program(path,
                     "PRAGMA ignore_check_constraints = ON; INSERT INTO entry (at, site, kind, "
                     "prop) VALUES (0, 'boathouse', 'tea break', 'slip-window')");
  EXPECT_EQ(carried_over(folder, "CHECK constraint failed in entry",
                         "the one entry that could still be read is in a new one")
                .size(),
            1U);
}

TEST(DamagedLogbook, GetsRidOfAForeignTrigger) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  make_logbook(path, 1);
  by_another_program(path,
                     "CREATE TRIGGER forget AFTER INSERT ON entry BEGIN SELECT RAISE(IGNORE); END");
  EXPECT_EQ(carried_over(folder, "its tables are not those of a logbook",
                         "the 8 entries that could still be read are in a new one")
                .size(),
            8U);
}

TEST(DamagedLogbook, IsGoneForWhoHadItOpen) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  const auto first = test::opened(path);
  test::added(*first, check::BenchBegun{"slip-window"});
  by_another_program(path, "ALTER TABLE entry RENAME COLUMN note TO remark");
  const auto second = test::opened(path);
  ASSERT_EQ(second->notes().size(), 1U);
  const auto entry = first->add("boathouse", check::BenchBegun{"oar-rack"}, 0);
  ASSERT_FALSE(entry);
  EXPECT_EQ(test::told(entry.error()),
            path +
                ": the logbook was moved or removed while it was open; put it back, or start "
                "Panewalk again for a new one\n");
}

TEST(DamagedLogbook, IsNotSetAsideWhileSomebodyWritesToIt) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  make_logbook(path, 1);
  by_another_program(path, "ALTER TABLE entry RENAME COLUMN note TO remark");
  sqlite3* other = nullptr;
  ASSERT_EQ(sqlite3_open(path.c_str(), &other), SQLITE_OK);
  ASSERT_EQ(sqlite3_exec(other, "BEGIN IMMEDIATE", nullptr, nullptr, nullptr), SQLITE_OK);
  EXPECT_EQ(test::refusal(path),
            path +
                ": the logbook is damaged: its tables are not those of a logbook, and can't be "
                "set aside: another program writes to it; it is left as it is; move it away and "
                "keep it for a new one to be begun\n");
  sqlite3_close(other);
  EXPECT_TRUE(beside(folder).empty());
}

}  // namespace
}  // namespace panewalk::logbook
