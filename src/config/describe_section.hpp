#pragma once

#include <string>

#include "config/reader.hpp"
#include "prop/description.hpp"

namespace panewalk::config {

struct ReadSection {
  prop::SectionDescription section;
  std::string points_file;     ///< of a `points` section
  bool needs_a_route = false;  ///< has a shape, and not `points`
};

/// One element of "sections".
ReadSection read_section(const Value& value);

}  // namespace panewalk::config
