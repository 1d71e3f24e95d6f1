#include "logbook/logbook.hpp"

#include <filesystem>
#include <utility>

#include "base/check.hpp"
#include "logbook/database.hpp"
#include "logbook/rows.hpp"
#include "logbook/schema.hpp"

namespace panewalk::logbook {
namespace {

// What makes a commit last: a rollback journal, SQLite's default, and synchronous EXTRA. Each
// commit syncs the journal, the file, and the folder once the journal is gone, so that a loss of
// power right after it can't bring the journal back, which would undo the commit. FULL leaves that
// last sync out; it is enough only with a WAL, and a WAL would keep the newest entries beside the
// file that a person copies away. https://www.sqlite.org/pragma.html#pragma_synchronous
constexpr const char* kLasting = "PRAGMA synchronous = EXTRA";

// 9999-12-31T23:59:59Z, the last that base::utc_text can write; the schema has it too.
constexpr std::int64_t kLastSecond = 253'402'300'799;

/// A write that is taken back: finds a file or folder that may only be read before it matters.
MaybeFault try_to_write(Database& database) {
  const Transaction transaction{database};
  if (transaction.fault()) return transaction.fault();
  return database.run("PRAGMA user_version = " + std::to_string(kSchemaVersion));
}

MaybeFault insert_order(Database& database, EntryNumber walk,
                        const std::vector<std::string>& order) {
  std::int64_t place = 0;
  for (const std::string& prop : order) {
    auto prepared = database.prepare("INSERT INTO walk_order (walk, place, prop) VALUES (?, ?, ?)");
    if (!prepared) return prepared.error();
    Statement insert = std::move(prepared).value();
    insert.bind(1, walk);
    insert.bind(2, ++place);
    insert.bind(3, prop);
    if (const auto row = insert.step(); !row) return row.error();
  }
  return std::nullopt;
}

/// ", " before each of the columns that depend on the kind.
std::string listed_columns() {
  std::string names;
  for (const auto& column : kNumbers) names += std::string{", "} + column.name;
  for (const auto& column : kTexts) names += std::string{", "} + column.name;
  return names;
}

/// Columns are counted on from `first`.
Row row_of(const Statement& asked, std::string kind, int first) {
  Row row{.kind = std::move(kind)};
  for (const auto& column : kNumbers) row.*column.value = asked.number(first++);
  for (const auto& column : kTexts) row.*column.value = asked.text(first++);
  return row;
}

Outcome<EntryNumber> insert_entry(Database& database, const Entry& entry) {
  std::string places = "?, ?, ?";
  for (std::size_t i = 0; i < kNumbers.size() + kTexts.size(); ++i) places += ", ?";
  auto prepared = database.prepare("INSERT INTO entry (at, site, kind" + listed_columns() +
                                   ") VALUES (" + places + ") RETURNING number");
  if (!prepared) return prepared.error();
  Statement insert = std::move(prepared).value();
  const Row row = to_row(entry.event);
  insert.bind(1, entry.at);
  insert.bind(2, entry.site);
  insert.bind(3, row.kind);
  int parameter = 4;
  for (const auto& column : kNumbers) {
    if (const auto& number = row.*column.value) insert.bind(parameter, *number);
    ++parameter;
  }
  for (const auto& column : kTexts) {
    if (const auto& text = row.*column.value) insert.bind(parameter, *text);
    ++parameter;
  }
  const auto given = insert.step();
  if (!given) return given.error();
  const EntryNumber number = insert.number(0).value_or(0);
  if (const auto done = insert.step(); !done) return done.error();
  return number;
}

/// Nothing where a place of the order is missing.
Outcome<std::optional<std::vector<std::string>>> order_of(Database& database, EntryNumber walk) {
  auto prepared =
      database.prepare("SELECT place, prop FROM walk_order WHERE walk = ? ORDER BY place");
  if (!prepared) return prepared.error();
  Statement asked = std::move(prepared).value();
  asked.bind(1, walk);
  std::vector<std::string> order;
  while (true) {
    const auto row = asked.step();
    if (!row) return row.error();
    if (!row.value()) return std::optional{std::move(order)};
    const auto place = asked.number(0);
    auto prop = asked.text(1);
    if (place != std::ssize(order) + 1 || !prop) return std::optional<std::vector<std::string>>{};
    order.push_back(std::move(*prop));
  }
}

class SqliteLogbook final : public Logbook {
 public:
  SqliteLogbook(Database database, std::string path)
      : database_{std::move(database)}, path_{std::move(path)} {}

  base::Result<Entry> add(const std::string& site, check::Event event, std::int64_t at) override {
    Entry entry{.at = at, .site = site, .event = std::move(event)};
    // What could not be read back would hide all the rest.
    PANEWALK_CHECK(to_event(to_row(entry.event)).has_value());
    if (at < 0 || at > kLastSecond) {
      return base::Problems{{.file = path_,
                             .what = "the clock is wrong: it says second " + std::to_string(at),
                             .remedy = "set the clock of this machine"}};
    }
    if (moved()) return moved_away();
    Transaction transaction{database_};
    if (transaction.fault()) return problems_of(*transaction.fault(), path_);
    const auto number = insert_entry(database_, entry);
    if (!number) return problems_of(number.error(), path_);
    entry.number = number.value();
    if (const auto* walk = std::get_if<check::WalkBegun>(&entry.event)) {
      if (const auto fault = insert_order(database_, entry.number, walk->order)) {
        return problems_of(*fault, path_);
      }
    }
    if (const auto fault = transaction.commit()) return problems_of(*fault, path_);
    return entry;
  }

  base::Result<std::vector<Entry>> entries(const std::string& site) override {
    if (moved()) return moved_away();
    auto prepared = database_.prepare("SELECT number, at, kind" + listed_columns() +
                                      " FROM entry WHERE site = ? ORDER BY number");
    if (!prepared) return problems_of(prepared.error(), path_);
    Statement asked = std::move(prepared).value();
    asked.bind(1, site);
    std::vector<Entry> found;
    base::Problems problems;
    while (true) {
      const auto row = asked.step();
      if (!row) return problems_of(row.error(), path_);
      if (!row.value()) break;
      auto entry = read(asked, site);
      if (!entry) return problems_of(entry.error(), path_);
      if (entry.value()) {
        found.push_back(*std::move(entry).value());
      } else {
        base::append(problems,
                     damaged(path_, "entry " + std::to_string(asked.number(0).value_or(0)) +
                                        " can't be understood"));
      }
    }
    if (!problems.empty()) return problems;
    return found;
  }

  base::Result<EntryNumber> newest() override {
    if (moved()) return moved_away();
    const auto number = database_.number("SELECT ifnull(max(number), 0) FROM entry");
    if (!number) return problems_of(number.error(), path_);
    return number.value();
  }

 private:
  /// The row that `asked` stands at; nothing where it can't be understood.
  Outcome<std::optional<Entry>> read(const Statement& asked, const std::string& site) {
    const auto number = asked.number(0);
    const auto at = asked.number(1);
    auto event = to_event(row_of(asked, asked.text(2).value_or(""), 3));
    if (!number || !at || !event) return std::optional<Entry>{};
    if (auto* walk = std::get_if<check::WalkBegun>(&*event)) {
      auto order = order_of(database_, *number);
      if (!order) return order.error();
      if (!order.value()) return std::optional<Entry>{};
      walk->order = *std::move(order).value();
    }
    return std::optional{
        Entry{.number = *number, .at = *at, .site = site, .event = std::move(*event)}};
  }

  [[nodiscard]] bool moved() const { return database_.was_moved(); }
  [[nodiscard]] base::Problems moved_away() const { return moved_while_open(path_); }

  Database database_;
  std::string path_;
};

}  // namespace

std::string path_in(const std::string& folder) {
  return (std::filesystem::path{folder} / "logbook.sqlite").string();
}

base::Result<std::unique_ptr<Logbook>> Logbook::open(const std::string& path, Access access) {
  auto opened = Database::open(path, access);
  if (!opened) return problems_of(opened.error(), path);
  Database database = std::move(opened).value();
  if (const auto fault = database.run(kLasting)) return problems_of(*fault, path);
  auto problems = prepare_schema(database, path, access, migrations());
  if (!problems.empty()) return problems;
  if (access == Access::kWrite) {
    // A full disk may have room again when there is something to write.
    const auto fault = try_to_write(database);
    if (fault && !is_full_disk(*fault)) return problems_of(*fault, path);
  }
  return std::unique_ptr<Logbook>{std::make_unique<SqliteLogbook>(std::move(database), path)};
}

}  // namespace panewalk::logbook
