#pragma once

#include <string>
#include <vector>

#include "config/text.hpp"

namespace panewalk::config {

/// The text of a prop file with another route. Every other byte stays: blanks, line ends, the order
/// of the members. A route or `wiring` that is missing is put in. Only for a tree that reads as a
/// prop file.
std::string put_route(const Tree& tree, const std::vector<std::string>& runs);

}  // namespace panewalk::config
