#pragma once

#include <gtest/gtest.h>
#include <sqlite3.h>

#include <fstream>
#include <iterator>
#include <memory>
#include <string>

#include "logbook/logbook.hpp"
#include "unit/io/temp_folder.hpp"

namespace panewalk::logbook::test {

using panewalk::test::TempFolder;

inline std::string told(const base::Problems& problems) {
  std::string text;
  for (const auto& problem : problems) text += base::to_line(problem) + '\n';
  return text;
}

/// "" where it opens.
inline std::string refusal(const std::string& path, Access access = Access::kWrite) {
  const auto book = Logbook::open(path, access);
  return book ? "" : told(book.error());
}

inline std::unique_ptr<Logbook> opened(const std::string& path, Access access = Access::kWrite) {
  auto book = Logbook::open(path, access);
  if (book) return std::move(book).value();
  ADD_FAILURE() << told(book.error());
  return nullptr;
}

/// Adds and gives the number; 0 and a failure where that is a problem.
inline EntryNumber added(Logbook& book, check::Event event, const std::string& site = "boathouse",
                         std::int64_t at = 1'795'626'501) {
  const auto entry = book.add(site, std::move(event), at);
  if (entry) return entry.value().number;
  ADD_FAILURE() << told(entry.error());
  return 0;
}

/// What another program does to the file.
inline void by_another_program(const std::string& path, const std::string& sql) {
  sqlite3* handle = nullptr;
  ASSERT_EQ(sqlite3_open(path.c_str(), &handle), SQLITE_OK);
  char* message = nullptr;
  EXPECT_EQ(sqlite3_exec(handle, sql.c_str(), nullptr, nullptr, &message), SQLITE_OK)
      << (message != nullptr ? message : "");
  sqlite3_free(message);
  sqlite3_close(handle);
}

inline std::string octets(const std::string& path) {
  std::ifstream file{path, std::ios::binary};
  return {std::istreambuf_iterator<char>{file}, {}};
}
inline void write(const std::string& path, const std::string& octets) {
  std::ofstream{path, std::ios::binary} << octets;
}

}  // namespace panewalk::logbook::test
