#pragma once

#include <span>
#include <string>

#include "check/entry.hpp"

/// Entries in the forms that leave the program, in the order in which they are given. Octets that
/// are no UTF-8 become U+FFFD.
namespace panewalk::logbook {

/// {"site":…,"entries":[…]} and a line end, indented by two; the fields of an entry go by its kind.
/// `read_export` reads it back.
std::string entries_as_json(const std::string& site, std::span<const check::Entry> entries);
/// The fields that go by the kind, in one line.
std::string event_as_json(const check::Event& event);

/// RFC 4180, with a header and a column for every field of any kind; what an entry has not is
/// empty.
std::string entries_as_csv(std::span<const check::Entry> entries);

/// For people: when, what, prop, answer, note. A line an entry; control characters are escaped.
std::string entries_as_table(std::span<const check::Entry> entries);

}  // namespace panewalk::logbook
