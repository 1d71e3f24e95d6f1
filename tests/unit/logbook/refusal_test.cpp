#include <filesystem>

#include "book.hpp"

namespace panewalk::logbook {
namespace {

namespace fs = std::filesystem;
using test::by_another_program;
using test::octets;
using test::refusal;
using test::TempFolder;

const std::string kForeign =
    ": this is not a logbook: it is a database of another program; move the file away; a new one "
    "is "
    "begun then\n";

const std::string kWhatServeWouldDo =
    "; panewalk serve, at its next start, keeps this file under another name and goes on with "
    "every "
    "entry that can still be read\n";

/// With three entries, closed.
std::string make_logbook(const TempFolder& folder) {
  const std::string path = folder / "logbook.sqlite";
  const auto book = test::opened(path);
  test::added(*book, check::BenchBegun{"slip-window"});
  test::added(*book, check::BenchAnswered{1, "slip-window", "ruler", check::Answer::kYes, ""});
  test::added(*book, check::WalkBegun{check::WalkBy::kOrder, {"slip-window", "gable-line"}});
  return path;
}

/// Refused for reading and for writing, and the same octets afterwards, with nothing beside it.
void expect_refused(const std::string& path, const std::string& words) {
  const std::string before = octets(path);
  EXPECT_EQ(refusal(path), path + words);
  EXPECT_EQ(refusal(path, Access::kRead), path + words);
  EXPECT_TRUE(octets(path) == before);
  for (const auto& beside : fs::directory_iterator{fs::path{path}.parent_path()}) {
    EXPECT_EQ(beside.path().string(), path);
  }
}

TEST(LogbookFile, OfANewerSchemaIsRefused) {
  const TempFolder folder;
  const std::string path = make_logbook(folder);
  by_another_program(path, "ALTER TABLE entry ADD COLUMN mood TEXT; PRAGMA user_version = 7");
  expect_refused(
      path,
      ": this is the logbook of a newer Panewalk: its schema is 7, known here is 2; use the "
      "newer Panewalk, or move the file away for a new one\n");
}

TEST(LogbookFile, OfAnotherProgramIsRefused) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  by_another_program(path, "CREATE TABLE tide (hour INTEGER, metres REAL)");
  expect_refused(path, kForeign);
}

TEST(LogbookFile, OfAnotherProgramIsRefusedByItsIdAlone) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  by_another_program(path, "PRAGMA application_id = 1196444487");  // GeoPackage 1.3, requirement 2
  expect_refused(path, kForeign);
}

TEST(LogbookFile, OfAnotherProgramIsRefusedByItsVersionAlone) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  by_another_program(path, "PRAGMA user_version = 1");
  expect_refused(path, kForeign);
}

TEST(LogbookFile, OfAnotherProgramStaysAsItIsThoughItHasAWal) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  by_another_program(path, "PRAGMA journal_mode = WAL; CREATE TABLE tide (hour INTEGER)");
  sqlite3* other = nullptr;
  ASSERT_EQ(sqlite3_open(path.c_str(), &other), SQLITE_OK);
  ASSERT_EQ(sqlite3_exec(other, "INSERT INTO tide VALUES (6)", nullptr, nullptr, nullptr),
            SQLITE_OK);
  const std::string before = octets(path);
  EXPECT_EQ(refusal(path), path + kForeign);
  EXPECT_TRUE(octets(path) == before);
  sqlite3_close(other);
}

/// What a reader says of a damaged one; it stays the same octets, with nothing beside it.
void expect_damaged(const std::string& path, const std::string& detail) {
  const std::string before = octets(path);
  EXPECT_EQ(refusal(path, Access::kRead),
            path + ": the logbook is damaged: " + detail + kWhatServeWouldDo);
  EXPECT_TRUE(octets(path) == before);
  for (const auto& beside : fs::directory_iterator{fs::path{path}.parent_path()}) {
    EXPECT_EQ(beside.path().string(), path);
  }
}

TEST(LogbookFile, ThatIsNoDatabaseIsLeftToTheWriter) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  for (const std::string& text :
       {std::string{"slip-window: all well\n"}, std::string(5000, '\0'), std::string{"S"}}) {
    test::write(path, text);
    expect_damaged(path, "it is no SQLite database");
  }
}

TEST(LogbookFile, ThatIsCutShortIsLeftToTheWriter) {
  const TempFolder folder;
  const std::string path = make_logbook(folder);
  test::write(path, octets(path).substr(0, 5000));
  // SQLite's own words; SQLITE_CORRUPT in https://www.sqlite.org/rescode.html
  expect_damaged(path, "database disk image is malformed");
}

TEST(LogbookFile, WithAValueThatIsNotAllowedIsRefused) {
  const TempFolder folder;
  const std::string path = make_logbook(folder);
  by_another_program(path,
                     "PRAGMA ignore_check_constraints = ON; INSERT INTO entry (at, site, kind, "
                     "prop) VALUES (0, 'boathouse', 'tea break', 'slip-window')");
  const std::string before = octets(path);
  const auto entries = test::opened(path, Access::kRead)->entries("boathouse");
  ASSERT_FALSE(entries);
  EXPECT_EQ(test::told(entries.error()),
            path + ": the logbook is damaged: entry 4 can't be understood" + kWhatServeWouldDo);
  EXPECT_TRUE(octets(path) == before);
}

TEST(LogbookFile, WithOtherTablesUnderItsIdIsLeftToTheWriter) {
  const TempFolder folder;
  const std::string path = make_logbook(folder);
  by_another_program(path, "ALTER TABLE entry RENAME COLUMN note TO remark");
  expect_damaged(path, "its tables are not those of a logbook");
}

TEST(LogbookFile, WithAForeignTriggerIsLeftToTheWriter) {
  const TempFolder folder;
  const std::string path = make_logbook(folder);
  by_another_program(path,
                     "CREATE TRIGGER forget AFTER INSERT ON entry BEGIN SELECT RAISE(IGNORE); END");
  expect_damaged(path, "its tables are not those of a logbook");
}

TEST(LogbookFile, MayHaveSomebodysViewAndIndex) {
  const TempFolder folder;
  const std::string path = make_logbook(folder);
  by_another_program(path,
                     "CREATE INDEX by_site ON entry (site); CREATE VIEW notes AS SELECT note FROM "
                     "entry; ANALYZE");
  EXPECT_EQ(refusal(path), "");
}

TEST(LogbookFile, SaysWhichEntryCameInWrongWhileItWasOpen) {
  const TempFolder folder;
  const std::string path = make_logbook(folder);
  const auto book = test::opened(path);
  by_another_program(path,
                     "PRAGMA ignore_check_constraints = ON; INSERT INTO entry (at, site, kind, "
                     "prop) VALUES (0, 'boathouse', 'tea break', 'slip-window');"
                     "INSERT INTO entry (at, site, kind, walked_by) VALUES (0, 'boathouse', 'walk "
                     "begun', 'order'); INSERT INTO walk_order VALUES (5, 2, 'slip-window')");
  const auto entries = book->entries("boathouse");
  ASSERT_FALSE(entries);
  const std::string remedy = " can't be understood" + kWhatServeWouldDo;
  EXPECT_EQ(test::told(entries.error()), path + ": the logbook is damaged: entry 4" + remedy +
                                             path + ": the logbook is damaged: entry 5" + remedy);
}

TEST(LogbookFile, SaysWhichEntryOfTheFaultFinderCantBe) {
  const TempFolder folder;
  const std::string path = make_logbook(folder);
  const auto book = test::opened(path);
  by_another_program(
      path,
      "PRAGMA ignore_check_constraints = ON;"
      "INSERT INTO entry (at, site, kind, prop, place, came_from) VALUES"
      "  (0, 'boathouse', 'find begun', 'slip-window', 'attic', '');"
      "INSERT INTO entry (at, site, kind, begun, prop, question, asked, answer) VALUES"
      "  (0, 'boathouse', 'find answer', 4, 'slip-window', 1, 'same: red', '\"yes'),"
      "  (0, 'boathouse', 'find answer', 4, 'slip-window', 4294967297, 'same: red',"
      "   '\"yes\"');"
      "INSERT INTO entry (at, site, kind, begun, prop, fault, second, station, pixel,"
      "  certainty, also_possible, questions) VALUES"
      "  (0, 'boathouse', 'finding', 4, 'slip-window', 'none', '', '', 0, 1001, '', 1);"
      "INSERT INTO entry (at, site, kind, begun, prop, repair, fault, note) VALUES"
      "  (0, 'boathouse', 'repair', 4, 'slip-window', 'mended', 'turned', '')");
  const auto entries = book->entries("boathouse");
  ASSERT_FALSE(entries);
  std::string expected;
  for (const char* number : {"4", "5", "6", "7", "8"}) {
    expected += path + ": the logbook is damaged: entry " + number + " can't be understood" +
                kWhatServeWouldDo;
  }
  EXPECT_EQ(test::told(entries.error()), expected);
}

TEST(LogbookFile, RefusesToBeChanged) {
  const TempFolder folder;
  const std::string path = make_logbook(folder);
  sqlite3* other = nullptr;
  ASSERT_EQ(sqlite3_open(path.c_str(), &other), SQLITE_OK);
  for (const char* sql :
       {"UPDATE entry SET note = 'fine' WHERE number = 2", "DELETE FROM entry",
        "UPDATE walk_order SET prop = 'hoist-ring'", "DELETE FROM walk_order WHERE walk = 3"}) {
    EXPECT_EQ(sqlite3_exec(other, sql, nullptr, nullptr, nullptr), SQLITE_CONSTRAINT) << sql;
    EXPECT_STREQ(sqlite3_errmsg(other), "a logbook is only added to") << sql;
  }
  sqlite3_close(other);
}

TEST(LogbookFile, NeedsAFolder) {
  const TempFolder folder;
  const std::string path = folder / "gone/logbook.sqlite";
  EXPECT_EQ(refusal(path), path + ": the logbook can't be opened: there is no folder \"" +
                               (folder / "gone") + "\"\n");
}

TEST(LogbookFile, IsARegularFile) {
  const TempFolder folder;
  const std::string path = folder / "logbook.sqlite";
  fs::create_directory(path);
  const std::string words =
      ": the logbook can't be written: it is not a regular file; the file "
      "and its folder \"" +
      folder.path().string() + "\" must be writable for the user who runs this\n";
  EXPECT_EQ(refusal(path), path + words);
}

TEST(LogbookFile, MayHaveAnyName) {
  const TempFolder folder;
  const fs::path before = fs::current_path();
  fs::current_path(folder.path());
  EXPECT_EQ(refusal(":memory:"), "");
  EXPECT_EQ(refusal("file:log?mode=memory"), "");
  fs::current_path(before);
  EXPECT_GT(fs::file_size(folder / ":memory:"), 0U);
  EXPECT_GT(fs::file_size(folder / "file:log?mode=memory"), 0U);
}

}  // namespace
}  // namespace panewalk::logbook
