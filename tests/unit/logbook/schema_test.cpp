#include "logbook/schema.hpp"

#include <array>

#include "book.hpp"

namespace panewalk::logbook {
namespace {

using test::TempFolder;
using test::told;

constexpr std::array kOld{"CREATE TABLE tide (hour INTEGER) STRICT;"};
constexpr std::array kNew{"CREATE TABLE tide (hour INTEGER) STRICT;",
                          "ALTER TABLE tide ADD COLUMN metres REAL;"
                          "UPDATE tide SET metres = 2.5;"};
constexpr std::array kBroken{"CREATE TABLE tide (hour INTEGER) STRICT;",
                             "ALTER TABLE tide ADD COLUMN metres REAL; DROP TABLE moon;"};

Database open(const std::string& path, Access access = Access::kWrite) {
  return Database::open(path, access).value();
}

std::int64_t number(Database& database, const std::string& sql) {
  const auto found = database.number(sql);
  EXPECT_TRUE(found) << sql;
  return found ? found.value() : -1;
}

TEST(Schema, IsMarkedInTheFileAsSqliteHasIt) {
  const TempFolder folder;
  test::opened(folder / "logbook.sqlite");
  const std::string file = test::octets(folder / "logbook.sqlite");
  // https://www.sqlite.org/fileformat2.html#the_database_header: offsets 60 and 68, big-endian.
  EXPECT_EQ(file.substr(0, 16), std::string("SQLite format 3\0", 16));
  EXPECT_EQ(file.substr(60, 4), std::string("\0\0\0\2", 4));
  EXPECT_EQ(file.substr(68, 4), "PnWk");
}

TEST(Schema, IsBroughtUpToDateWithWhatIsInIt) {
  const TempFolder folder;
  const std::string path = folder / "tides.sqlite";
  {
    Database old = open(path);
    ASSERT_EQ(told(prepare_schema(old, path, Access::kWrite, kOld).problems), "");
    ASSERT_FALSE(old.run("INSERT INTO tide VALUES (6)"));
    EXPECT_EQ(number(old, "PRAGMA user_version"), 1);
  }
  Database now = open(path);
  ASSERT_EQ(told(prepare_schema(now, path, Access::kWrite, kNew).problems), "");
  EXPECT_EQ(number(now, "PRAGMA user_version"), 2);
  EXPECT_EQ(number(now, "SELECT hour FROM tide WHERE metres = 2.5"), 6);
  // A second time there is nothing to do.
  ASSERT_EQ(told(prepare_schema(now, path, Access::kWrite, kNew).problems), "");
}

TEST(Schema, OfAnOlderVersionIsNotChangedByAReader) {
  const TempFolder folder;
  const std::string path = folder / "tides.sqlite";
  {
    Database old = open(path);
    ASSERT_EQ(told(prepare_schema(old, path, Access::kWrite, kOld).problems), "");
  }
  const std::string before = test::octets(path);
  Database reader = open(path, Access::kRead);
  EXPECT_EQ(told(prepare_schema(reader, path, Access::kRead, kNew).problems),
            path +
                ": this is the logbook of an older Panewalk: its schema is 1; run panewalk serve "
                "once as a user who may write it\n");
  EXPECT_EQ(test::octets(path), before);
}

TEST(Schema, StaysWhatItWasWhereAStepFails) {
  const TempFolder folder;
  const std::string path = folder / "tides.sqlite";
  Database database = open(path);
  ASSERT_EQ(told(prepare_schema(database, path, Access::kWrite, kOld).problems), "");
  EXPECT_EQ(told(prepare_schema(database, path, Access::kWrite, kBroken).problems),
            path +
                ": the logbook can't be read or written: no such table: moon; look at the disk "
                "that it is on\n");
  EXPECT_EQ(number(database, "PRAGMA user_version"), 1);
  EXPECT_EQ(told(prepare_schema(database, path, Access::kWrite, kOld).problems), "");
}

}  // namespace
}  // namespace panewalk::logbook
