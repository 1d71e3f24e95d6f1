#pragma once

#include <string>

#include "cli/manual_outline.hpp"

namespace panewalk::cli {

/// What the man page says beside what the command line does, written by hand.
struct ManualWords {
  std::string version;  ///< "0.1.0"
  std::string date;     ///< of these words, "November 26, 2026"
  std::string before;   ///< sections that stand before the exit status, in mdoc
  std::string after;    ///< sections at the end, in mdoc
};

/// Panewalk's.
const ManualWords& manual_words();

/// The page in section 1, in the macros of mdoc(7). The outline's footer gives its examples, and
/// what stands behind "Exit status: " there, "0 done, 1 failed.", its exit status.
std::string man_page(const Outline& outline, const ManualWords& words);

}  // namespace panewalk::cli
