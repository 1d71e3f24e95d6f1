#pragma once

#include <array>
#include <string>
#include <vector>

#include "config/reader.hpp"

namespace panewalk::web {

/// The value whose word (by to_text, found beside its type) the member says. Missing or another
/// word is a problem.
template <class T, std::size_t n>
T one_of(config::Object& object, const char* name, const std::array<T, n>& values) {
  std::vector<std::string> words;
  std::vector<std::string> in_quotes;
  for (const T value : values) {
    words.emplace_back(to_text(value));
    in_quotes.push_back(base::quoted(words.back()));
  }
  const auto found = object.must(name, base::listed(in_quotes, "or"));
  const auto which = found ? config::choice(*found, words) : std::nullopt;
  return which ? values[*which] : T{};
}

}  // namespace panewalk::web
