#include "config/locator.hpp"

#include <algorithm>
#include <charconv>
#include <tuple>

namespace panewalk::config {
namespace {

constexpr std::size_t kBlock = 256;  // bytes

bool begins_character(char letter) { return (static_cast<unsigned char>(letter) & 0xc0U) != 0x80U; }

/// Where the character `within` of the string at `open` stands in the text; an escape is one
/// character.
std::size_t offset_within(std::string_view text, std::size_t open, int within) {
  std::size_t at = open + 1;
  for (int i = 0; i < within && at < text.size() && text[at] != '"'; ++i) {
    if (text[at] == '\\') {
      const bool unit = at + 1 < text.size() && text[at + 1] == 'u';
      const bool pair = unit && at + 3 < text.size() &&
                        (text[at + 2] == 'd' || text[at + 2] == 'D') && text[at + 3] > '7' &&
                        text.substr(at + 6, 2) == "\\u";
      at += pair ? 12 : (unit ? 6 : 2);
    } else {
      ++at;
      while (at < text.size() && !begins_character(text[at])) ++at;
    }
  }
  return std::min(at, text.size());
}

}  // namespace

std::string unescaped(std::string_view token) {
  std::string name;
  for (std::size_t i = 0; i < token.size(); ++i) {
    if (token[i] == '~' && i + 1 < token.size() && (token[i + 1] == '0' || token[i + 1] == '1')) {
      name += token[++i] == '0' ? '~' : '/';
    } else {
      name += token[i];
    }
  }
  return name;
}

const Node* step(const Node& node, std::string_view token, const Member*& member) {
  member = nullptr;
  if (node.kind == Node::Kind::kObject) {
    member = node.find(unescaped(token));
    return member == nullptr ? nullptr : &member->value;
  }
  std::size_t index = 0;
  const char* const end = token.data() + token.size();
  const auto [past, error] = std::from_chars(token.data(), end, index);
  if (error != std::errc{} || past != end || index >= node.elements.size()) return nullptr;
  return &node.elements[index];
}

Lines::Lines(std::string_view text) : text_{text}, starts_{0} {
  std::size_t characters = 0;
  for (std::size_t at = 0; at < text.size(); ++at) {
    if (at % kBlock == 0) characters_.push_back(characters);
    if (begins_character(text[at])) ++characters;
    if (text[at] == '\n') starts_.push_back(at + 1);
  }
  characters_.push_back(characters);
}

std::size_t Lines::characters_before(std::size_t offset) const {
  const std::size_t block = std::min(offset / kBlock, characters_.size() - 1);
  if (block * kBlock >= text_.size()) return characters_.back();
  std::size_t characters = characters_[block];
  for (std::size_t at = block * kBlock; at < offset; ++at) {
    if (begins_character(text_[at])) ++characters;
  }
  return characters;
}

Position Lines::at(std::size_t offset) const {
  offset = std::min(offset, text_.size());
  const auto after = std::upper_bound(starts_.begin(), starts_.end(), offset);
  const std::size_t start = *(after - 1);
  return {.line = static_cast<int>(after - starts_.begin()),
          .column = static_cast<int>(characters_before(offset) - characters_before(start)) + 1};
}

Position Locator::of(const base::Problem& problem) const {
  const Node* node = &tree_->root;
  const Member* member = nullptr;
  std::string_view rest = problem.where;
  while (!rest.empty()) {
    rest.remove_prefix(1);
    const std::string_view token = rest.substr(0, rest.find('/'));
    rest.remove_prefix(token.size());
    const Member* entered = nullptr;
    const Node* const inner = step(*node, token, entered);
    if (inner == nullptr) return lines_.at(node->offset);
    node = inner;
    member = entered;
  }
  if (problem.at_name && member != nullptr) return lines_.at(member->offset);
  if (problem.within && node->kind == Node::Kind::kString) {
    return lines_.at(offset_within(tree_->text, node->offset, *problem.within));
  }
  return lines_.at(node->offset);
}

void Locator::place(base::Problems& problems) const {
  for (base::Problem& problem : problems) {
    if (problem.line > 0) continue;
    const Position position = of(problem);
    problem.line = position.line;
    problem.column = position.column;
  }
  std::stable_sort(problems.begin(), problems.end(),
                   [](const base::Problem& a, const base::Problem& b) {
                     return std::tie(a.line, a.column) < std::tie(b.line, b.column);
                   });
}

}  // namespace panewalk::config
