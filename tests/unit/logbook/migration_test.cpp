#include <array>

#include "book.hpp"
#include "first_schema.hpp"
#include "logbook/schema.hpp"
#include "second_schema.hpp"

namespace panewalk::logbook {
namespace {

using test::by_another_program;
using test::octets;
using test::refusal;
using test::TempFolder;
using test::told;

/// What the first Panewalk left, made without our code.
std::string first_logbook(const TempFolder& folder) {
  const std::string path = folder / "logbook.sqlite";
  by_another_program(path, std::string{"BEGIN;"} + test::kFirstSchema + test::kFirstEntries +
                               "PRAGMA application_id = 1349408619; PRAGMA user_version = 1;"
                               "COMMIT;");
  return path;
}

std::vector<Entry> entries_of(Logbook& book, const std::string& site) {
  auto entries = book.entries(site);
  if (entries) return std::move(entries).value();
  ADD_FAILURE() << told(entries.error());
  return {};
}

std::int64_t number(const std::string& path, const std::string& sql) {
  auto database = Database::open(path, Access::kRead);
  if (!database) return -1;
  Database opened = std::move(database).value();
  return opened.number(sql).value();
}

const std::vector<Entry> kOfTheBoathouse{
    {1, 1'795'626'501, "boathouse", check::BenchBegun{"slip-window"}},
    {2, 1'795'626'502, "boathouse",
     check::BenchAnswered{1, "slip-window", "ruler", check::Answer::kNo, "far end"}},
    {4, 1'795'626'504, "boathouse",
     check::WalkBegun{check::WalkBy::kNearest, {"gable-line", "slip-window"}}},
    {9, 1'795'626'505, "boathouse",
     check::WalkAnswered{4, "gable-line", check::Seen::kAnother, "slip-window", ""}}};

TEST(FirstLogbook, HasTheSchemaThatItAlwaysHad) {
  EXPECT_STREQ(migrations()[0], test::kFirstSchema);
}

TEST(FirstLogbook, KeepsEveryEntryAndIsAddedTo) {
  const TempFolder folder;
  const std::string path = first_logbook(folder);
  const auto book = test::opened(path);
  EXPECT_EQ(number(path, "PRAGMA user_version"), 2);
  EXPECT_EQ(entries_of(*book, "boathouse"), kOfTheBoathouse);
  EXPECT_EQ(entries_of(*book, "jetty"),
            (std::vector<Entry>{{3, 1'795'626'503, "jetty", check::BenchBegun{"lamp-post"}}}));
  const check::FindBegun begun{"slip-window", check::FindPlace::kBench, "bench ruler"};
  EXPECT_EQ(test::added(*book, begun, "boathouse", 1'795'626'506), 10);
  std::vector<Entry> expected = kOfTheBoathouse;
  expected.push_back({10, 1'795'626'506, "boathouse", begun});
  EXPECT_EQ(entries_of(*test::opened(path), "boathouse"), expected);
  EXPECT_EQ(entries_of(*test::opened(path, Access::kRead), "boathouse"), expected);
}

TEST(FirstLogbook, IsStillOnlyAddedTo) {
  const TempFolder folder;
  const std::string path = first_logbook(folder);
  test::opened(path);
  sqlite3* other = nullptr;
  ASSERT_EQ(sqlite3_open(path.c_str(), &other), SQLITE_OK);
  for (const char* sql :
       {"UPDATE entry SET note = 'fine' WHERE number = 2", "DELETE FROM entry",
        "UPDATE walk_order SET prop = 'hoist-ring'", "DELETE FROM walk_order WHERE walk = 4"}) {
    EXPECT_EQ(sqlite3_exec(other, sql, nullptr, nullptr, nullptr), SQLITE_CONSTRAINT) << sql;
    EXPECT_STREQ(sqlite3_errmsg(other), "a logbook is only added to") << sql;
  }
  sqlite3_close(other);
}

TEST(FirstLogbook, IsNotChangedByAReader) {
  const TempFolder folder;
  const std::string path = first_logbook(folder);
  const std::string before = octets(path);
  EXPECT_EQ(
      refusal(path, Access::kRead),
      path +
          ": this is the logbook of an older Panewalk: its schema is 1; run panewalk serve once "
          "as a user who may write it\n");
  EXPECT_TRUE(octets(path) == before);
}

TEST(FirstLogbook, StaysAsItIsWhereTheStepFails) {
  const TempFolder folder;
  const std::string path = first_logbook(folder);
  const std::string before = octets(path);
  const std::string fails = std::string{migrations()[1]} + "DROP TABLE moon;";
  const std::array steps{migrations()[0], fails.c_str()};
  {
    Database database = Database::open(path, Access::kWrite).value();
    EXPECT_EQ(told(prepare_schema(database, path, Access::kWrite, steps).problems),
              path +
                  ": the logbook can't be read or written: no such table: moon; look at the disk "
                  "that it is on\n");
  }
  EXPECT_TRUE(octets(path) == before);
  EXPECT_EQ(entries_of(*test::opened(path), "boathouse"), kOfTheBoathouse);
}

/// The step would take away what somebody else made of its tables; they are set aside as they are.
TEST(FirstLogbook, WithOtherTablesIsSetAsideAndItsEntriesGoOn) {
  for (const char* sql :
       {"CREATE TRIGGER forget AFTER INSERT ON entry BEGIN SELECT RAISE(IGNORE); END",
        "ALTER TABLE entry RENAME COLUMN note TO remark"}) {
    const TempFolder folder;
    const std::string path = first_logbook(folder);
    by_another_program(path, sql);
    const auto book = test::opened(path);
    ASSERT_EQ(book->notes().size(), 1U);
    EXPECT_EQ(book->notes().front().what,
              "the logbook was damaged: its tables are not those of a logbook");
    EXPECT_EQ(entries_of(*book, "boathouse"), kOfTheBoathouse);
  }
}

TEST(FirstLogbook, WithSomebodysViewAndIndexIsBroughtUpToDate) {
  const TempFolder folder;
  const std::string path = first_logbook(folder);
  by_another_program(path,
                     "CREATE INDEX by_site ON entry (site); CREATE VIEW notes AS SELECT note FROM "
                     "entry WHERE note <> ''; ANALYZE");
  EXPECT_EQ(entries_of(*test::opened(path), "boathouse"), kOfTheBoathouse);
  EXPECT_EQ(number(path, "SELECT count(*) FROM notes"), 1);
}

TEST(FirstLogbook, LeavesNoEmptyPagesBehind) {
  const TempFolder folder;
  const std::string path = first_logbook(folder);
  {
    sqlite3* other = nullptr;
    ASSERT_EQ(sqlite3_open(path.c_str(), &other), SQLITE_OK);
    ASSERT_EQ(sqlite3_exec(other,
                           "WITH RECURSIVE more (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM more "
                           "WHERE n < 5000) INSERT INTO entry (at, site, kind, begun, prop, step, "
                           "answer, note) SELECT n, 'boathouse', 'bench answer', 1, 'slip-window', "
                           "'ruler', 'yes', 'number ' || n FROM more",
                           nullptr, nullptr, nullptr),
              SQLITE_OK);
    sqlite3_close(other);
  }
  const auto book = test::opened(path);
  EXPECT_EQ(entries_of(*book, "boathouse").size(), 5004U);
  EXPECT_LE(number(path, "PRAGMA freelist_count"), 1);
}

TEST(Logbook, BegunNowHasNoEmptyPages) {
  const TempFolder folder;
  test::opened(folder / "logbook.sqlite");
  EXPECT_EQ(number(folder / "logbook.sqlite", "PRAGMA freelist_count"), 0);
}

// What was edited in a step instead of added as one more would set every logbook aside as damaged.
TEST(SecondLogbook, IsTakenAsItIs) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  by_another_program(path,
                     std::string{"BEGIN;"} + test::kSecondSchema +
                         "INSERT INTO entry (number, at, site, kind, prop, place, came_from) "
                         "VALUES (1, 1795626501, 'boathouse', 'find begun', 'slip-window', "
                         "'yard', 'walk');"
                         "PRAGMA application_id = 1349408619; PRAGMA user_version = 2; COMMIT;");
  const auto book = test::opened(path);
  EXPECT_EQ(told(book->notes()), "");
  EXPECT_EQ(
      entries_of(*book, "boathouse"),
      (std::vector<Entry>{{1, 1'795'626'501, "boathouse",
                           check::FindBegun{"slip-window", check::FindPlace::kYard, "walk"}}}));
}

}  // namespace
}  // namespace panewalk::logbook
