#pragma once

#include <string_view>
#include <vector>

#include "base/quantity.hpp"
#include "base/result.hpp"

namespace panewalk::config {

/// The stations of a `points` section in wiring order: two lengths with units a line, a comma
/// between them ("80 mm, 1.2 m"). Empty lines, and "x,y" as the first, are allowed. All problems,
/// with line and column.
base::Result<std::vector<base::Point>> read_points(std::string_view text);

}  // namespace panewalk::config
