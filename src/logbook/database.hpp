#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>

#include "base/result.hpp"
#include "logbook/disk.hpp"
#include "logbook/logbook.hpp"

struct sqlite3;
struct sqlite3_stmt;

namespace panewalk::logbook {

/// Why SQLite did not do what it was asked.
struct Fault {
  int code = 0;         ///< extended result code, https://www.sqlite.org/rescode.html
  int system = 0;       ///< errno behind it, or 0
  std::string message;  ///< SQLite's own words
};
/// In words for the person whose file it is.
base::Problems problems_of(const Fault& fault, const std::string& path);

/// Why a file is not taken for a logbook; without problems it is.
struct Refusal {
  base::Problems problems;
  std::string damage = {};  ///< what is wrong with it, where it was a logbook once; else ""
  std::string why = {};     ///< words_of() a fault
  [[nodiscard]] bool empty() const { return problems.empty(); }
};
Refusal refusal_of(const Fault& fault, const std::string& path);

/// The file is damaged; `detail` says how.
base::Problems damaged(const std::string& path, const std::string& detail);
base::Problems moved_while_open(const std::string& path);

bool is_full_disk(const Fault& fault);
/// "the disk is full", "it may only be read": SQLite's or the system's words.
std::string words_of(const Fault& fault);

template <class T>
using Outcome = base::Result<T, Fault>;
using MaybeFault = std::optional<Fault>;

/// A prepared statement; parameters from 1, columns from 0. Not to outlive its Database.
class Statement {
 public:
  Statement(sqlite3* database, sqlite3_stmt* prepared) : database_{database}, prepared_{prepared} {}

  /// The text must live until the last step.
  void bind(int parameter, const std::string& text);
  void bind(int parameter, std::int64_t number);

  /// True where there is a row, false at the end.
  Outcome<bool> step();

  /// Nothing for NULL, for what is of another type, and for text with 256 zero octets in a row:
  /// nobody writes that, a page of zeros looks so.
  [[nodiscard]] std::optional<std::string> text(int column) const;
  [[nodiscard]] std::optional<std::int64_t> number(int column) const;

 private:
  struct Finalize {
    void operator()(sqlite3_stmt* prepared) const;
  };
  sqlite3* database_;
  std::unique_ptr<sqlite3_stmt, Finalize> prepared_;
};

/// A connection to an SQLite file.
class Database {
 public:
  static Outcome<Database> open(const std::string& path, Access access, Disk& disk = Disk::real());
  static Outcome<Database> in_memory();
  /// A copy of a file in memory, for whoever reads in what is damaged: it may be changed in every
  /// way, and nothing but its schema is trusted.
  static Outcome<Database> copy_of(const std::string& octets);

  Outcome<Statement> prepare(const std::string& sql);
  /// Statements that give no rows.
  MaybeFault run(const std::string& sql);
  /// First column of the first row; a fault where it is not a number.
  Outcome<std::int64_t> number(const std::string& sql);
  /// The file that it is, for one in memory; empty where that can't be.
  [[nodiscard]] std::string octets() const;
  [[nodiscard]] bool in_transaction() const;
  [[nodiscard]] bool was_moved() const;

 private:
  struct Close {
    void operator()(sqlite3* handle) const;
  };
  explicit Database(sqlite3* handle) : handle_{handle} {}
  static Outcome<Database> opened(const std::string& name, int flags, const char* vfs = nullptr);

  std::unique_ptr<sqlite3, Close> handle_;
};

/// Takes back what was not committed.
class Transaction {
 public:
  /// Takes the right to write at once, so that what is read in it stays true.
  explicit Transaction(Database& database) : database_{database} {
    fault_ = database_.run("BEGIN IMMEDIATE");
  }
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  ~Transaction() {
    if (!fault_ && database_.in_transaction()) database_.run("ROLLBACK");
  }
  [[nodiscard]] const MaybeFault& fault() const { return fault_; }
  /// Lasting where it gives no fault.
  MaybeFault commit() { return database_.run("COMMIT"); }

 private:
  Database& database_;
  MaybeFault fault_;
};

}  // namespace panewalk::logbook
