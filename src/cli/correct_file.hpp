#pragma once

#include <optional>

#include "check/progress.hpp"
#include "site/correction.hpp"

namespace panewalk::cli {

/// Puts the correction into its file. Stale where the file does not read as it did when the
/// correction was made; nothing is written then.
std::optional<check::Refusal> correct_file(const site::Correction& correction);

}  // namespace panewalk::cli
