#include <algorithm>
#include <functional>

#include "book.hpp"
#include "logbook/opening.hpp"
#include "power_disk.hpp"

namespace panewalk::logbook {
namespace {

using test::PowerDisk;

// No folder of the real disk: only a name.
const std::string kPath = "/boathouse/logbook.sqlite";
constexpr int kChances = 3;  ///< ways in which power is lost after each operation

const std::vector<check::Event> kEvents{
    check::BenchBegun{"slip-window"},
    check::BenchAnswered{1, "slip-window", "ruler", check::Answer::kYes, std::string(9000, 'n')},
    check::WalkBegun{check::WalkBy::kOrder, {"slip-window", "gable-line", "hoist-ring"}},
    check::WalkAnswered{3, "gable-line", check::Seen::kNothing, "", "dark"},
    check::FindBegun{"gable-line", check::FindPlace::kYard, "walk"},
    check::FindAnswered{5, "gable-line", 1, "same: in red", "\"no\""}};

std::vector<Entry> entries_of(const std::vector<check::Event>& events) {
  std::vector<Entry> entries;
  for (const auto& event : events) {
    const auto number = std::ssize(entries) + 1;
    entries.push_back({number, 1'795'626'500 + number, "boathouse", event});
  }
  return entries;
}

/// What `what_is_wrong` says of the first loss of power after which something is; "" for none. It
/// gets the disk and how many operations there had been.
std::string first_wrong(
    const PowerDisk& disk,
    const std::function<std::string(PowerDisk& rebooted, std::size_t after)>& what_is_wrong) {
  std::mt19937 chance{20261126};
  for (std::size_t after = 0; after <= disk.operations(); ++after) {
    for (int i = 0; i < kChances + 2; ++i) {
      const auto keep = i == 0   ? PowerDisk::Keep::kNothing
                        : i == 1 ? PowerDisk::Keep::kAll
                                 : PowerDisk::Keep::kSome;
      PowerDisk rebooted{disk.after(after, keep, chance)};
      const std::string what = what_is_wrong(rebooted, after);
      if (!what.empty()) return "after " + std::to_string(after) + " operations: " + what;
    }
  }
  return "";
}

/// Each entry and how many operations there had been when add() had returned.
struct Written {
  std::vector<Entry> entries;
  std::vector<std::size_t> by;
};

Written write_all(PowerDisk& disk, const char* lasting) {
  Written written;
  auto book = open_on(disk, kPath, Access::kWrite, lasting);
  EXPECT_TRUE(book);
  for (const Entry& entry : entries_of(kEvents)) {
    const auto added = book.value()->add(entry.site, entry.event, entry.at);
    EXPECT_TRUE(added);
    EXPECT_EQ(added.value(), entry);
    written.entries.push_back(added.value());
    written.by.push_back(disk.operations());
  }
  return written;
}

/// "" where the logbook has all that add() had returned by then, at most the next one beside, and
/// nothing else.
std::string what_is_wrong(PowerDisk& disk, const Written& written, std::size_t after) {
  const auto book = open_on(disk, kPath, Access::kWrite);
  if (!book) return test::told(book.error());
  if (!book.value()->notes().empty()) return test::told(book.value()->notes());
  const auto have = book.value()->entries("boathouse");
  if (!have) return test::told(have.error());
  std::size_t least = 0;
  while (least < written.by.size() && written.by[least] <= after) ++least;
  const std::size_t count = have.value().size();
  if (count < least) return "lost entry " + std::to_string(count + 1);
  if (count > least + 1) return "too many";
  const std::vector<Entry> expected{written.entries.begin(),
                                    written.entries.begin() + std::ssize(have.value())};
  return have.value() == expected ? "" : "another entry";
}

std::string first_lost_with(const char* lasting) {
  PowerDisk disk;
  const Written written = write_all(disk, lasting);
  EXPECT_GT(disk.operations(), 50U);
  return first_wrong(disk, [&](PowerDisk& rebooted, std::size_t after) {
    return what_is_wrong(rebooted, written, after);
  });
}

TEST(PowerLoss, TakesNoEntryThatWasAdded) { EXPECT_EQ(first_lost_with(kLasting), ""); }

TEST(PowerLoss, WouldTakeEntriesIfNothingWereSynced) {
  EXPECT_NE(first_lost_with("PRAGMA synchronous = OFF"), "");
}

TEST(PowerLoss, WouldTakeEntriesIfTheFolderWereNotSynced) {
  const std::string what = first_lost_with("PRAGMA synchronous = FULL");
  EXPECT_EQ(what.substr(what.find(": ") + 2), "lost entry 1");
}

/// A logbook with all of kEvents.
std::string whole_logbook() {
  PowerDisk disk;
  write_all(disk, kLasting);
  return *disk.octets(kPath);
}

std::vector<Entry> entries_on(PowerDisk& disk) {
  const auto book = open_on(disk, kPath, Access::kWrite);
  if (!book) return {};
  const auto entries = book.value()->entries("boathouse");
  return entries ? entries.value() : std::vector<Entry>{};
}

/// Nothing is lost of a damaged file and of what can be read of it while it is set aside.
std::string first_lost_by_setting_aside(bool disk_has_links) {
  std::string damaged = whole_logbook();
  damaged.replace(0, 100, 100, 'x');  // the file's header
  PowerDisk disk;
  disk.put(kPath, damaged);
  disk.has_links = disk_has_links;
  {
    const auto book = open_on(disk, kPath, Access::kWrite);
    EXPECT_TRUE(book);
    EXPECT_EQ(book.value()->notes().size(), 1U);
  }
  EXPECT_GT(disk.operations(), 30U);
  const std::vector<Entry> expected = entries_of(kEvents);
  return first_wrong(disk, [&](PowerDisk& rebooted, std::size_t) -> std::string {
    const auto& names = rebooted.state().names;
    const bool is_kept = std::any_of(names.begin(), names.end(), [&](const auto& each) {
      const bool is_new = each.first.find(".new.") != std::string::npos ||
                          each.first.find(".copy.") != std::string::npos;
      return !is_new && rebooted.state().files[each.second] == damaged;
    });
    if (!is_kept) return "the damaged file is gone";
    const auto book = open_on(rebooted, kPath, Access::kWrite);
    if (!book) return test::told(book.error());
    const auto entries = book.value()->entries("boathouse");
    if (!entries) return test::told(entries.error());
    if (entries.value() == expected) return "";
    return "entries are gone; " + test::told(book.value()->notes());
  });
}

TEST(PowerLoss, TakesNothingWhileADamagedLogbookIsSetAside) {
  EXPECT_EQ(first_lost_by_setting_aside(true), "");
}

TEST(PowerLoss, TakesNothingWhereTheFileSystemHasNoLinks) {
  EXPECT_EQ(first_lost_by_setting_aside(false), "");
}

TEST(PowerLoss, LeavesAllOrNothingOfWhatIsTaken) {
  const std::vector<Entry> all = entries_of(kEvents);
  const std::vector<Entry> here{all.begin(), all.begin() + 1};
  PowerDisk disk;
  std::size_t begun = 0;
  {
    const auto book = open_on(disk, kPath, Access::kWrite);
    ASSERT_TRUE(book);
    ASSERT_TRUE(book.value()->add("boathouse", kEvents[0], all[0].at));
    begun = disk.operations();
    const auto taken = book.value()->take("boathouse", all);
    ASSERT_TRUE(taken);
    EXPECT_EQ(taken.value().taken, all.size() - 1);
  }
  EXPECT_EQ(first_wrong(disk,
                        [&](PowerDisk& rebooted, std::size_t after) -> std::string {
                          if (after < begun) return "";
                          const auto have = entries_on(rebooted);
                          const bool is_done = after == disk.operations();
                          if (have == all || (have == here && !is_done)) return "";
                          return "there are " + std::to_string(have.size());
                        }),
            "");
}

}  // namespace
}  // namespace panewalk::logbook
