#include "logbook/schema.hpp"

#include <sqlite3.h>

#include <array>
#include <vector>

namespace panewalk::logbook {
namespace {

// 253402300799 is the last second of the year 9999.
constexpr const char* kFirstSchema = R"(
CREATE TABLE entry (
  number    INTEGER PRIMARY KEY,
  at        INTEGER NOT NULL CHECK (at BETWEEN 0 AND 253402300799),
  site      TEXT NOT NULL,
  kind      TEXT NOT NULL
            CHECK (kind IN ('bench begun', 'bench answer', 'walk begun', 'walk answer')),
  begun     INTEGER,
  prop      TEXT,
  step      TEXT,
  answer    TEXT,
  other     TEXT,
  walked_by TEXT,
  note      TEXT,
  CHECK ((begun IS NOT NULL) = (kind IN ('bench answer', 'walk answer'))),
  CHECK ((prop IS NOT NULL) = (kind <> 'walk begun')),
  CHECK ((step IS NOT NULL) = (kind = 'bench answer')),
  CHECK (CASE kind
           WHEN 'bench answer' THEN answer IS NOT NULL
                                    AND answer IN ('yes', 'no', 'unsure', 'skipped')
           WHEN 'walk answer' THEN answer IS NOT NULL
                                   AND answer IN ('as drawn', 'another prop', 'nothing', 'wrong')
           ELSE answer IS NULL END),
  CHECK ((other IS NOT NULL) = (kind = 'walk answer')),
  CHECK (CASE kind
           WHEN 'walk begun' THEN walked_by IS NOT NULL AND walked_by IN ('order', 'nearest')
           ELSE walked_by IS NULL END),
  CHECK ((note IS NOT NULL) = (kind IN ('bench answer', 'walk answer')))
) STRICT;
CREATE TABLE walk_order (
  walk  INTEGER NOT NULL,
  place INTEGER NOT NULL CHECK (place >= 1),
  prop  TEXT NOT NULL,
  PRIMARY KEY (walk, place)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
  BEGIN SELECT RAISE(ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER entry_is_kept BEFORE DELETE ON entry
  BEGIN SELECT RAISE(ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER walk_order_stays BEFORE UPDATE ON walk_order
  BEGIN SELECT RAISE(ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER walk_order_is_kept BEFORE DELETE ON walk_order
  BEGIN SELECT RAISE(ABORT, 'a logbook is only added to'); END;
)";

// The fault finder. A CHECK can't be changed, so the table is made anew. It is not renamed, since
// SQLite would then write its new name into the views that somebody made of it; and what it held
// waits outside the file, so that no empty pages stay behind. Triggers go with their table.
// https://www.sqlite.org/lang_altertable.html#making_other_kinds_of_table_schema_changes
constexpr const char* kFaultFinder = R"(
CREATE TEMP TABLE kept_entry AS SELECT * FROM main.entry;
DROP TABLE main.entry;
CREATE TABLE entry (
  number    INTEGER PRIMARY KEY,
  at        INTEGER NOT NULL CHECK (at BETWEEN 0 AND 253402300799),
  site      TEXT NOT NULL,
  kind      TEXT NOT NULL
            CHECK (kind IN ('bench begun', 'bench answer', 'walk begun', 'walk answer',
                            'find begun', 'find answer', 'finding', 'repair')),
  begun     INTEGER,
  prop      TEXT,
  step      TEXT,
  answer    TEXT,
  other     TEXT,
  walked_by TEXT,
  note      TEXT,
  place     TEXT,
  came_from TEXT,
  described TEXT,
  question  INTEGER CHECK (question >= 1),
  asked     TEXT,
  fault     TEXT,
  second    TEXT,
  station   TEXT,
  pixel     INTEGER CHECK (pixel >= 0),
  certainty INTEGER CHECK (certainty BETWEEN 0 AND 1000),
  also_possible TEXT,
  questions INTEGER CHECK (questions >= 0),
  repair    TEXT,
  CHECK ((begun IS NOT NULL) =
         (kind IN ('bench answer', 'walk answer', 'find answer', 'finding', 'repair'))),
  CHECK ((prop IS NOT NULL) = (kind <> 'walk begun')),
  CHECK ((step IS NOT NULL) = (kind = 'bench answer')),
  CHECK (CASE kind
           WHEN 'bench answer' THEN answer IS NOT NULL
                                    AND answer IN ('yes', 'no', 'unsure', 'skipped')
           WHEN 'walk answer' THEN answer IS NOT NULL
                                   AND answer IN ('as drawn', 'another prop', 'nothing', 'wrong')
           WHEN 'find answer' THEN answer IS NOT NULL
           ELSE answer IS NULL END),
  CHECK ((other IS NOT NULL) = (kind = 'walk answer')),
  CHECK (CASE kind
           WHEN 'walk begun' THEN walked_by IS NOT NULL AND walked_by IN ('order', 'nearest')
           ELSE walked_by IS NULL END),
  CHECK ((note IS NOT NULL) = (kind IN ('bench answer', 'walk answer', 'repair'))),
  CHECK (CASE kind
           WHEN 'find begun' THEN place IS NOT NULL AND place IN ('bench', 'yard')
           ELSE place IS NULL END),
  CHECK ((came_from IS NOT NULL) = (kind = 'find begun')),
  CHECK (described IS NULL OR kind = 'find begun'),
  CHECK ((question IS NOT NULL) = (kind = 'find answer')),
  CHECK ((asked IS NOT NULL) = (kind = 'find answer')),
  CHECK ((fault IS NOT NULL) = (kind IN ('finding', 'repair'))),
  CHECK ((second IS NOT NULL) = (kind = 'finding')),
  CHECK ((station IS NOT NULL) = (kind = 'finding')),
  CHECK ((pixel IS NOT NULL) = (kind = 'finding')),
  CHECK ((certainty IS NOT NULL) = (kind = 'finding')),
  CHECK ((also_possible IS NOT NULL) = (kind = 'finding')),
  CHECK ((questions IS NOT NULL) = (kind = 'finding')),
  CHECK (CASE kind
           WHEN 'repair' THEN repair IS NOT NULL
                              AND repair IN ('mended', 'not mended', 'was another fault')
           ELSE repair IS NULL END)
) STRICT;
INSERT INTO main.entry (number, at, site, kind, begun, prop, step, answer, other, walked_by, note)
  SELECT number, at, site, kind, begun, prop, step, answer, other, walked_by, note
  FROM temp.kept_entry ORDER BY number;
DROP TABLE temp.kept_entry;
CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
  BEGIN SELECT RAISE(ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER entry_is_kept BEFORE DELETE ON entry
  BEGIN SELECT RAISE(ABORT, 'a logbook is only added to'); END;
)";

constexpr std::array kMigrations{kFirstSchema, kFaultFinder};
static_assert(kMigrations.size() == kSchemaVersion);

struct Found {
  std::int64_t application = 0;
  std::int64_t version = 0;
  std::int64_t objects = 0;  ///< tables and the like
  [[nodiscard]] bool is_new() const { return application == 0 && version == 0 && objects == 0; }
};

Outcome<Found> look(Database& database) {
  Found found;
  const struct {
    const char* sql;
    std::int64_t& into;
  } kAsked[] = {{"PRAGMA application_id", found.application},
                {"PRAGMA user_version", found.version},
                {"SELECT count(*) FROM sqlite_schema", found.objects}};
  for (const auto& asked : kAsked) {
    const auto number = database.number(asked.sql);
    if (!number) return number.error();
    asked.into = number.value();
  }
  return found;
}

/// What is sound and yet not to be used.
base::Problems refuse(const Found& found, const std::string& path, std::int64_t newest,
                      Access access) {
  if (found.is_new()) return {};
  if (found.application != kApplicationId || found.version < 1) {
    return {{.file = path,
             .what = "this is not a logbook: it is a database of another program",
             .remedy = "move the file away; a new one is begun then"}};
  }
  const std::string schema = std::to_string(found.version);
  if (found.version > newest) {
    return {{.file = path,
             .what = "this is the logbook of a newer Panewalk: its schema is " + schema +
                     ", known here is " + std::to_string(newest),
             .remedy = "use the newer Panewalk, or move the file away for a new one"}};
  }
  if (found.version < newest && access == Access::kRead) {
    return {{.file = path,
             .what = "this is the logbook of an older Panewalk: its schema is " + schema,
             .remedy = "run panewalk serve once as a user who may write it"}};
  }
  return {};
}

/// Without the indexes, which integrity_check looks at too: there are none. Where the file may only
/// be read SQLite leaves out the CHECK constraints; entries() looks at every row itself.
MaybeFault check_pages(Database& database) {
  auto prepared = database.prepare("PRAGMA quick_check(1)");
  if (!prepared) return prepared.error();
  Statement check = std::move(prepared).value();
  const auto row = check.step();
  if (!row) return row.error();
  const std::string said = check.text(0).value_or("nothing is known of its pages");
  if (said == "ok") return std::nullopt;
  // A line that names the database may come first.
  return Fault{.code = SQLITE_CORRUPT, .message = said.substr(said.rfind('\n') + 1)};
}

MaybeFault migrate(Database& database, std::int64_t from, std::span<const char* const> steps) {
  for (auto at = static_cast<std::size_t>(from); at < steps.size(); ++at) {
    if (auto fault = database.run(steps[at])) return fault;
  }
  if (auto fault = database.run("PRAGMA application_id = " + std::to_string(kApplicationId))) {
    return fault;
  }
  return database.run("PRAGMA user_version = " + std::to_string(steps.size()));
}

/// Tables and triggers as they were made. An index or a view that somebody added does no harm.
Outcome<std::vector<std::string>> schema_texts(Database& database) {
  auto prepared = database.prepare(
      "SELECT sql FROM sqlite_schema WHERE type IN ('table', 'trigger') "
      "AND name NOT LIKE 'sqlite\\_%' ESCAPE '\\' ORDER BY name");
  if (!prepared) return prepared.error();
  Statement asked = std::move(prepared).value();
  std::vector<std::string> texts;
  while (true) {
    const auto row = asked.step();
    if (!row) return row.error();
    if (!row.value()) return texts;
    texts.push_back(asked.text(0).value_or(""));
  }
}

Outcome<std::vector<std::string>> expected_texts(std::span<const char* const> steps) {
  auto made = Database::in_memory();
  if (!made) return made.error();
  Database fresh = std::move(made).value();
  if (const auto fault = migrate(fresh, 0, steps)) return *fault;
  return schema_texts(fresh);
}

/// Damaged where the tables are not those that `steps` make.
MaybeFault check_tables(Database& database, std::span<const char* const> steps) {
  const auto have = schema_texts(database);
  if (!have) return have.error();
  const auto expected = expected_texts(steps);
  if (!expected) return expected.error();
  if (have.value() == expected.value()) return std::nullopt;
  return Fault{.code = SQLITE_CORRUPT, .message = "its tables are not those of a logbook"};
}

Refusal bring_up_to_date(Database& database, const std::string& path,
                         std::span<const char* const> steps) {
  Transaction transaction{database};
  if (transaction.fault()) return refusal_of(*transaction.fault(), path);
  // Another program may have been here first.
  const auto found = look(database);
  if (!found) return refusal_of(found.error(), path);
  auto problems = refuse(found.value(), path, std::ssize(steps), Access::kWrite);
  if (!problems.empty()) return {.problems = std::move(problems)};
  if (!found.value().is_new()) {
    // A step may drop a table; somebody else's trigger would go with it unseen.
    const auto version = static_cast<std::size_t>(found.value().version);
    if (const auto fault = check_tables(database, steps.first(version))) {
      return refusal_of(*fault, path);
    }
  }
  if (const auto fault = migrate(database, found.value().version, steps)) {
    return refusal_of(*fault, path);
  }
  if (const auto fault = transaction.commit()) return refusal_of(*fault, path);
  return {};
}

}  // namespace

std::span<const char* const> migrations() { return kMigrations; }

Refusal prepare_schema(Database& database, const std::string& path, Access access,
                       std::span<const char* const> steps) {
  const auto found = look(database);
  if (!found) return refusal_of(found.error(), path);
  auto problems = refuse(found.value(), path, std::ssize(steps), access);
  if (!problems.empty()) return {.problems = std::move(problems)};
  if (const auto fault = check_pages(database)) return refusal_of(*fault, path);
  if (found.value().version < std::ssize(steps)) {
    auto refusal = bring_up_to_date(database, path, steps);
    if (!refusal.empty()) return refusal;
  }
  if (const auto fault = check_tables(database, steps)) return refusal_of(*fault, path);
  return {};
}

}  // namespace panewalk::logbook
