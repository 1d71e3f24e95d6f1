#pragma once

#include <span>
#include <string>

#include "check/entry.hpp"

/// Entries in the forms that leave the program, in the order in which they are given.
namespace panewalk::logbook {

/// {"entries":[…]} and a line end, indented by two; the fields of an entry go by its kind. Octets
/// that are no UTF-8 become U+FFFD.
std::string entries_as_json(std::span<const check::Entry> entries);

/// RFC 4180, with a header and a column for every field of any kind; what an entry has not is
/// empty.
std::string entries_as_csv(std::span<const check::Entry> entries);

/// For people: when, what, prop, answer, note. A line an entry; control characters are escaped.
std::string entries_as_table(std::span<const check::Entry> entries);

}  // namespace panewalk::logbook
