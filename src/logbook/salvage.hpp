#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "check/entry.hpp"

namespace panewalk::logbook {

/// A file above this is not read in for its entries.
inline constexpr std::size_t kLongestDamaged = 64U << 20U;  ///< octets

/// The entries of a damaged logbook file that can still be read whole, by number; of any site.
/// SQLite reads them, one leaf page after the other and row by row, so that neither the header, the
/// schema nor the pages above the leaves are needed.
/// https://www.sqlite.org/fileformat2.html#b_tree_pages
std::vector<check::Entry> salvage(const std::string& octets);

}  // namespace panewalk::logbook
