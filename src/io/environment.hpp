#pragma once

#include <optional>
#include <string>

namespace panewalk::io {

/// A variable of the environment that is set and not empty. To be asked while there is one thread.
std::optional<std::string> variable(const char* name);

}  // namespace panewalk::io
