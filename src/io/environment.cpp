#include "io/environment.hpp"

#include <cstdlib>

namespace panewalk::io {

std::optional<std::string> variable(const char* name) {
  const char* const value = std::getenv(name);  // NOLINT(concurrency-mt-unsafe): one thread
  if (value == nullptr || *value == '\0') return std::nullopt;
  return value;
}

}  // namespace panewalk::io
