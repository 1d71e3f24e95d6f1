#pragma once

#include <optional>
#include <string>

#include "check/entry.hpp"

namespace panewalk::logbook {

/// The columns of `entry` that depend on the kind; nothing is NULL. The order of a walk lies in
/// rows of its own.
struct Row {
  std::string kind;
  std::optional<check::EntryNumber> begun;
  std::optional<std::string> prop, step, answer, other, walked_by, note;
};

Row to_row(const check::Event& event);

/// Nothing where it is none of ours. A walk gets its order from elsewhere.
std::optional<check::Event> to_event(const Row& row);

}  // namespace panewalk::logbook
