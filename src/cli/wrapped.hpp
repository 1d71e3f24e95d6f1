#pragma once

#include <string>
#include <string_view>

namespace panewalk::cli {

/// The text broken between words into lines of at most `columns` bytes; words longer than that stay
/// whole.
std::string wrapped(std::string_view text, int columns);

/// The first `columns` characters, the last of them "…" where there are more.
std::string cut(std::string_view text, int columns);

}  // namespace panewalk::cli
