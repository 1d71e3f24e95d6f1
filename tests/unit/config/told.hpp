#pragma once

#include <string>

#include "base/problem.hpp"
#include "base/result.hpp"
#include "config/text.hpp"

namespace panewalk::config {

/// What the person would read, one line a problem, for a file called f.json.
inline std::string told(base::Problems problems) {
  std::string lines;
  for (base::Problem& problem : problems) {
    problem.file = "f.json";
    lines += to_line(problem) + '\n';
  }
  return lines;
}

/// The problems of a text that `describe` reads; "" when there are none.
template <class Describe>
std::string told_of(std::string_view text, Describe describe) {
  auto tree = read_text(text);
  if (!tree.ok()) return told(tree.error());
  const auto described = describe(tree.value());
  return described.ok() ? std::string{} : told(described.error());
}

}  // namespace panewalk::config
