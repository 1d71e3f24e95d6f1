#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "check/entry.hpp"

/// Entries as `entries_as_json` wrote them, perhaps on another machine, read back.
namespace panewalk::logbook {

inline constexpr std::size_t kLongestExport = 16U << 20U;  ///< octets
inline constexpr std::size_t kMostEntriesTaken = 50'000;

/// All entries, by the numbers that they have in `text`, or all problems with line and column; the
/// file is the caller's to fill in. Refused is what no logbook writes, an export of another site,
/// and an entry that says it belongs to one that can't have begun it. One whose beginning is not in
/// the text (an export of some entries only) is allowed.
base::Result<std::vector<check::Entry>> read_export(std::string_view text, const std::string& site);

}  // namespace panewalk::logbook
