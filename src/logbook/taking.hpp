#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "check/entry.hpp"

/// What of another logbook's entries is new here.
namespace panewalk::logbook {

struct Taking {
  std::vector<check::Entry> entries;  ///< to be added, with the numbers that they get here
  std::size_t already = 0;            ///< entries that are here
  /// Of those to be added: whose beginning is neither here nor among them. Together they belong to
  /// a number that nothing else ever gets.
  std::size_t without_beginning = 0;
};

/// `here` and `from` are each of one site and by number; `next` is greater than all numbers here.
/// An entry is here already where one of the same second says the same and belongs to the same;
/// each entry here stands for one of the others.
Taking plan_taking(std::span<const check::Entry> here, std::span<const check::Entry> from,
                   check::EntryNumber next);

}  // namespace panewalk::logbook
