#pragma once

#include <optional>
#include <string>

#include "engine/plan.hpp"
#include "practice/fault.hpp"

namespace panewalk::site {

/// Why no file can mend a fault of this kind, or nothing for a kind that one can.
std::optional<std::string> no_file_mends(const practice::Fault& fault);

/// What mends it without a file: "set the count to 72 at the controller".
std::string mended_otherwise(const engine::Plan& plan, std::size_t prop,
                             const practice::Fault& fault);

/// Whether the controller, or which plug is in it, can be changed to the same end.
bool mended_at_the_controller(practice::FaultKind kind);

/// What the files say in the plan `now`, made with the correction: a whole sentence.
std::string said_now(const engine::Plan& before, const engine::Plan& now, std::size_t prop,
                     const practice::Fault& fault);

}  // namespace panewalk::site
