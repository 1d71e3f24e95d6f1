#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace panewalk::architecture {

/// One C++ file, cut into lines three ways; all have the same lines and columns.
struct SourceText {
  std::vector<std::string> raw;
  std::vector<std::string> without_comments;
  std::vector<std::string> code;  ///< without comments and without what stands in quotes
};

SourceText read_source(std::string_view text);

std::vector<std::string> split_lines(std::string_view text);

/// RFC 3629: no overlong forms, no surrogates, nothing past U+10FFFF.
bool is_utf8(std::string_view text);

}  // namespace panewalk::architecture
