#pragma once

#include <span>
#include <string_view>

namespace panewalk::site {

/// A file that was built into the program.
struct EmbeddedFile {
  std::string_view name;
  std::string_view text;
};

/// The folder patterns/ as it was when the program was built, by name.
std::span<const EmbeddedFile> shipped_patterns();

}  // namespace panewalk::site
