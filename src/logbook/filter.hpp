#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "check/entry.hpp"

/// Which entries are asked for.
namespace panewalk::logbook {

/// What an entry belongs to.
enum class Kind {
  kBench,  ///< a bench check
  kWalk,   ///< a yard walk
  kFind,   ///< the fault finder: sessions, findings, repairs
};
/// "bench", "walk", "find".
const char* to_text(Kind kind);
std::optional<Kind> kind_from(std::string_view text);
Kind kind_of(const check::Event& event);

/// Whether the entry is about the prop: asked of it, walked with it, seen in the place of another,
/// or its lead exchanged with another's.
bool names_prop(const check::Entry& entry, const std::string& prop);

struct Filter {
  std::optional<std::string> prop;
  std::vector<Kind> kinds;            ///< none: of every kind
  std::optional<std::int64_t> since;  ///< seconds since 1970-01-01T00:00:00Z, this one included
};

/// Those that pass, in the order in which they are given.
std::vector<check::Entry> filtered(std::vector<check::Entry> entries, const Filter& filter);

}  // namespace panewalk::logbook
