#pragma once

#include <string>

namespace panewalk::site {

/// The lines that differ as a unified difference with three lines around them, headed "--- FILE"
/// and
/// "+++ FILE (corrected)"; "" where nothing differs.
std::string unified_difference(const std::string& file, const std::string& before,
                               const std::string& after);

}  // namespace panewalk::site
