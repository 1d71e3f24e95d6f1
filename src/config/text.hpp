#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"

namespace panewalk::config {

/// What a text may hold; enforced while it is read, so that no file can cost more than this.
struct Limits {
  std::size_t bytes = 0;
  std::size_t depth = 0;         ///< lists and objects inside each other
  std::size_t values = 0;        ///< lists and objects count as one each
  std::size_t string_bytes = 0;  ///< of a string or a member's name
};
inline constexpr Limits kProjectFile{
    .bytes = 4U << 20U, .depth = 12, .values = 200'000, .string_bytes = 4096};

struct Member;

/// One value of a JSON text, and where it begins.
struct Node {
  enum class Kind { kNull, kBoolean, kNumber, kString, kList, kObject };
  Kind kind = Kind::kNull;
  std::size_t offset = 0;  ///< bytes from the start of the text to its first character
  bool truth = false;
  double number = 0;
  std::optional<std::int64_t> whole = {};  ///< numbers without a fraction, up to 64 bits
  std::string text = {};
  std::vector<Node> elements = {};
  std::vector<Member> members;

  /// Nothing where no member has the name.
  [[nodiscard]] const Member* find(std::string_view name) const;
};

struct Member {
  std::string name;
  std::size_t offset = 0;  ///< of the name's opening quote
  Node value;
};

struct Tree {
  std::string text;
  Node root;
};

/// Refuses, with line and column: comments, doubled names (all of them), text that is not UTF-8, a
/// byte order mark, text after the end, numbers too large, and whatever passes a limit.
base::Result<Tree> read_text(std::string_view text, const Limits& limits = kProjectFile);

/// The same, but doubled names alone, placed, come along with a tree in which the first of each is
/// found, so that the rest of the file can be looked at too.
struct TreeWithDoubled {
  Tree tree;
  base::Problems doubled;
};
base::Result<TreeWithDoubled> read_text_with_doubled(std::string_view text,
                                                     const Limits& limits = kProjectFile);

/// The value as JSON, indented by two, short lists and objects in one line; ends in a line break.
std::string to_text(const Node& node);
/// The same in one line, without a line break.
std::string one_line(const Node& node);

}  // namespace panewalk::config
