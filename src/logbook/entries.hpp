#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "logbook/database.hpp"

/// Entries in the tables of a logbook.
namespace panewalk::logbook {

/// 9999-12-31T23:59:59Z, the last that base::utc_text can write; the schema has it too.
inline constexpr std::int64_t kLastSecond = 253'402'300'799;

/// With its number, or the next one where that is 0, and the order of a walk. Gives the number.
/// Within a transaction of the caller.
Outcome<EntryNumber> insert(Database& database, const Entry& entry);

/// "SELECT" and the columns that `read` takes, "FROM entry"; a WHERE or so may follow.
std::string select_entries();
/// The row that `asked` stands at; nothing where it can't be understood. A walk has no order yet.
std::optional<Entry> read(const Statement& asked);
/// Gives a walk its order; false where a place of it is missing.
Outcome<bool> read_order(Database& database, Entry& entry);

/// The number of the newest entry of any site; 0 where there is none.
Outcome<EntryNumber> newest_in(Database& database);

/// A fault of code SQLITE_CORRUPT where an entry of any site can't be understood.
MaybeFault check_entries(Database& database);

}  // namespace panewalk::logbook
