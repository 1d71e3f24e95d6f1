#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "base/problem.hpp"
#include "config/text.hpp"

namespace panewalk::config {

struct Position {
  int line = 0;    ///< from 1
  int column = 0;  ///< in characters from 1
};

/// Turns offsets into lines and columns. The text outlives it.
class Lines {
 public:
  explicit Lines(std::string_view text);
  /// An offset past the end is the end.
  [[nodiscard]] Position at(std::size_t offset) const;

 private:
  [[nodiscard]] std::size_t characters_before(std::size_t offset) const;

  std::string_view text_;
  std::vector<std::size_t> starts_;      // of lines
  std::vector<std::size_t> characters_;  // before each block, so that no line is too long to count
};

/// Finds the line and column of a problem by its pointer. The tree outlives it.
class Locator {
 public:
  explicit Locator(const Tree& tree) : tree_{&tree}, lines_{tree.text} {}

  /// A value's first character; the name's, where `at_name`; the character `within` a string. What
  /// is missing is placed at the object or list that lacks it.
  [[nodiscard]] Position of(const base::Problem& problem) const;
  /// Fills in what has no line yet and sorts by place.
  void place(base::Problems& problems) const;

 private:
  const Tree* tree_;
  Lines lines_;
};

/// The element or member that one part of a pointer names, if there is one; `member` is none for an
/// element.
const Node* step(const Node& node, std::string_view token, const Member*& member);
/// A part of a pointer as the name that it stands for (RFC 6901, section 4).
std::string unescaped(std::string_view token);

}  // namespace panewalk::config
