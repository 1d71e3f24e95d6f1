#pragma once

#include "check/entry.hpp"

/// What entries say of each other.
namespace panewalk::logbook {

/// Where an event has the number of the entry that began it; null where it begins something itself.
check::EntryNumber* begun_in(check::Event& event);
/// That number, or 0.
check::EntryNumber begun_of(const check::Event& event);

/// Whether `begun` is what `event` can belong to: of its kind, and of its prop where both have one.
bool can_begin(const check::Event& begun, const check::Event& event);

}  // namespace panewalk::logbook
