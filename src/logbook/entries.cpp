#include "logbook/entries.hpp"

#include <sqlite3.h>

#include "logbook/rows.hpp"

namespace panewalk::logbook {
namespace {

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

void bind_row(Statement& insert, const Row& row, int parameter) {
  for (const auto& column : kNumbers) {
    if (const auto& number = row.*column.value) insert.bind(parameter, *number);
    ++parameter;
  }
  for (const auto& column : kTexts) {
    if (const auto& text = row.*column.value) insert.bind(parameter, *text);
    ++parameter;
  }
}

}  // namespace

Outcome<EntryNumber> insert(Database& database, const Entry& entry) {
  std::string places = "?, ?, ?, ?";
  for (std::size_t i = 0; i < kNumbers.size() + kTexts.size(); ++i) places += ", ?";
  auto prepared = database.prepare("INSERT INTO entry (number, at, site, kind" + listed_columns() +
                                   ") VALUES (" + places + ") RETURNING number");
  if (!prepared) return prepared.error();
  Statement insert = std::move(prepared).value();
  const Row row = to_row(entry.event);
  if (entry.number > 0) insert.bind(1, entry.number);  // NULL: the next one
  insert.bind(2, entry.at);
  insert.bind(3, entry.site);
  insert.bind(4, row.kind);
  bind_row(insert, row, 5);
  const auto given = insert.step();
  if (!given) return given.error();
  const EntryNumber number = insert.number(0).value_or(0);
  if (const auto done = insert.step(); !done) return done.error();
  if (const auto* walk = std::get_if<check::WalkBegun>(&entry.event)) {
    if (const auto fault = insert_order(database, number, walk->order)) return *fault;
  }
  return number;
}

std::string select_entries() {
  return "SELECT number, at, site, kind" + listed_columns() + " FROM entry";
}

std::optional<Entry> read(const Statement& asked) {
  const auto number = asked.number(0);
  const auto at = asked.number(1);
  auto site = asked.text(2);
  auto event = to_event(row_of(asked, asked.text(3).value_or(""), 4));
  if (!number || *number < 1 || !at || *at < 0 || *at > kLastSecond || !site || !event) {
    return std::nullopt;
  }
  return Entry{.number = *number, .at = *at, .site = *std::move(site), .event = *std::move(event)};
}

Outcome<bool> read_order(Database& database, Entry& entry) {
  auto* const walk = std::get_if<check::WalkBegun>(&entry.event);
  if (walk == nullptr) return true;
  auto prepared =
      database.prepare("SELECT place, prop FROM walk_order WHERE walk = ? ORDER BY place");
  if (!prepared) return prepared.error();
  Statement asked = std::move(prepared).value();
  asked.bind(1, entry.number);
  while (true) {
    const auto row = asked.step();
    if (!row) return row.error();
    if (!row.value()) return true;
    const auto place = asked.number(0);
    auto prop = asked.text(1);
    if (place != std::ssize(walk->order) + 1 || !prop) return false;
    walk->order.push_back(*std::move(prop));
  }
}

Outcome<EntryNumber> newest_in(Database& database) {
  return database.number("SELECT ifnull(max(number), 0) FROM entry");
}

MaybeFault check_entries(Database& database) {
  auto prepared = database.prepare(select_entries() + " ORDER BY number");
  if (!prepared) return prepared.error();
  Statement asked = std::move(prepared).value();
  while (true) {
    const auto row = asked.step();
    if (!row) return row.error();
    if (!row.value()) return std::nullopt;
    auto entry = read(asked);
    const auto whole = entry ? read_order(database, *entry) : false;
    if (!whole) return whole.error();
    if (!whole.value()) {
      return Fault{.code = SQLITE_CORRUPT,
                   .message = "entry " + std::to_string(asked.number(0).value_or(0)) +
                              " can't be understood"};
    }
  }
}

}  // namespace panewalk::logbook
