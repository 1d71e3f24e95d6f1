#pragma once

#include <dlfcn.h>

#include <cstdint>
#include <optional>

namespace panewalk::test {

/// Calls of the malloc family by this process, or nothing where tests/support/count_malloc.cpp is
/// not preloaded.
inline std::optional<std::uint64_t> allocations() {
  using Counter = std::uint64_t (*)();
  static const auto counter =
      reinterpret_cast<Counter>(::dlsym(RTLD_DEFAULT, "panewalk_allocations"));
  if (counter == nullptr) return std::nullopt;
  return counter();
}

}  // namespace panewalk::test
