#pragma once

#include <string>
#include <vector>

#include "scan/report.hpp"
#include "scan/verdict.hpp"

namespace panewalk::scan {

/// For people: what was done, what it means, what was heard. Lines of at most `columns` (40 or
/// more); nothing off the wire reaches the terminal as a control character. Ends with a newline.
std::string as_text(const Report& report, const std::vector<Finding>& findings, int columns = 80);

}  // namespace panewalk::scan
