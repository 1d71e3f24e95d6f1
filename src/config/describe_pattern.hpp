#pragma once

#include "config/text.hpp"
#include "pattern/description.hpp"

namespace panewalk::config {

/// What a pattern file says, every member checked for form, left-out ones at their default. All
/// problems, with line and column. Whether a region exists depends on the prop.
base::Result<pattern::PatternDescription> describe_pattern(const Tree& tree);

/// The words for ColourName and By, in the order of the enumerators.
const std::vector<std::string>& colour_names();
const std::vector<std::string>& by_names();

}  // namespace panewalk::config
