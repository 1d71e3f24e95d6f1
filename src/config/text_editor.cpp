#include "config/text_editor.hpp"

#include <algorithm>
#include <limits>
#include <vector>

#include "base/check.hpp"
#include "config/locator.hpp"

namespace panewalk::config {
namespace {

constexpr std::size_t kWidest = 100;  // bytes of a line that holds a whole list

/// Whoever reads the text next has the limits; an edit has none of its own.
constexpr Limits kNone{.bytes = std::numeric_limits<std::size_t>::max(),
                       .depth = std::numeric_limits<std::size_t>::max(),
                       .values = std::numeric_limits<std::size_t>::max(),
                       .string_bytes = std::numeric_limits<std::size_t>::max()};

/// The byte after the value that begins at `from`.
std::size_t end_of_value(const std::string& text, std::size_t from) {
  int depth = 0;
  bool in_string = false;
  for (std::size_t i = from; i < text.size(); ++i) {
    const char c = text[i];
    if (in_string) {
      if (c == '\\') {
        ++i;
      } else if (c == '"') {
        in_string = false;
        if (depth == 0) return i + 1;
      }
    } else if (c == '"') {
      in_string = true;
    } else if (c == '[' || c == '{') {
      ++depth;
    } else if (c == ']' || c == '}') {
      if (depth == 0) return i;  // after a bare word
      if (--depth == 0) return i + 1;
    } else if (depth == 0 && (c == ',' || c == ' ' || c == '\n' || c == '\r' || c == '\t')) {
      return i;
    }
  }
  return text.size();
}

std::string line_end_of(const std::string& text) {
  return text.find("\r\n") != std::string::npos ? "\r\n" : "\n";
}

std::size_t line_start(const std::string& text, std::size_t offset) {
  return offset == 0 ? 0 : text.rfind('\n', offset - 1) + 1;
}

/// What stands before the first word of the line that holds `offset`.
std::string indent_at(const std::string& text, std::size_t offset) {
  const std::size_t line = line_start(text, offset);
  return text.substr(line, text.find_first_not_of(" \t", line) - line);
}

bool begins_its_line(const std::string& text, std::size_t offset) {
  return indent_at(text, offset).size() == offset - line_start(text, offset);
}

/// Blanks that bring a line of its own below `offset`.
std::string blanks_below(const std::string& text, std::size_t offset) {
  const std::size_t line = line_start(text, offset);
  std::string blanks = text.substr(line, offset - line);
  std::replace_if(
      blanks.begin(), blanks.end(), [](char c) { return c != '\t'; }, ' ');
  return blanks;
}

/// A list that is too wide for its line gets a line for each element. `before` is what stands in
/// the line already, in bytes; `indent` what the line begins with.
std::string laid_out(const Node& value, std::size_t before, const std::string& indent,
                     const std::string& end_of_line) {
  std::string line = one_line(value);
  if (before + line.size() <= kWidest || value.elements.empty()) return line;
  std::string lines = "[";
  for (const Node& element : value.elements) {
    lines += (lines.size() > 1 ? "," : "") + end_of_line + indent + "  " + one_line(element);
  }
  return lines + end_of_line + indent + ']';
}

/// What a member (its name included) or an element takes of the text.
struct Stretch {
  std::size_t from = 0, end = 0;
};

std::vector<Stretch> children_of(const std::string& text, const Node& node) {
  std::vector<Stretch> all;
  for (const Node& element : node.elements) {
    all.push_back({.from = element.offset, .end = end_of_value(text, element.offset)});
  }
  for (const Member& member : node.members) {
    all.push_back({.from = member.offset, .end = end_of_value(text, member.value.offset)});
  }
  return all;
}

std::size_t index_of(const Node& object, std::string_view name) {
  return static_cast<std::size_t>(
      std::find_if(object.members.begin(), object.members.end(),
                   [name](const Member& member) { return member.name == name; }) -
      object.members.begin());
}

/// "/a/b" → "/a" and "b".
struct Parts {
  std::string_view around, last;
};
Parts parts_of(std::string_view pointer) {
  const std::size_t slash = pointer.rfind('/');
  PANEWALK_CHECK(slash != std::string_view::npos);
  return {pointer.substr(0, slash), pointer.substr(slash + 1)};
}

std::string label_of(std::string_view token) {
  Node name;
  name.kind = Node::Kind::kString;
  name.text = unescaped(token);
  return one_line(name) + ": ";
}

}  // namespace

const Node* TextEditor::find(std::string_view pointer) const {
  const Node* node = &tree_.root;
  while (node != nullptr && !pointer.empty()) {
    pointer.remove_prefix(1);
    const std::string_view token = pointer.substr(0, pointer.find('/'));
    pointer.remove_prefix(token.size());
    const Member* member = nullptr;
    node = step(*node, token, member);
  }
  return node;
}

void TextEditor::replace(std::size_t from, std::size_t end, const std::string& with) {
  std::string text = tree_.text;
  text.replace(from, end - from, with);
  auto tree = read_text(text, kNone);
  PANEWALK_CHECK(tree.ok());
  tree_ = std::move(tree).value();
}

void TextEditor::set(std::string_view pointer, const Node& value) {
  if (const Node* const there = find(pointer)) {
    const std::size_t from = there->offset;
    replace(from, end_of_value(text(), from),
            laid_out(value, from - line_start(text(), from), indent_at(text(), from),
                     line_end_of(text())));
    return;
  }
  const Parts parts = parts_of(pointer);
  const Node* const around = find(parts.around);
  PANEWALK_CHECK(around != nullptr);
  if (around->kind == Node::Kind::kObject) {
    put_child(*around, around->members.size(), label_of(parts.last), value);
  } else {
    PANEWALK_CHECK(parts.last == std::to_string(around->elements.size()));
    put_child(*around, around->elements.size(), "", value);
  }
}

void TextEditor::put_in(std::string_view pointer, const Node& value, std::string_view behind) {
  const Parts parts = parts_of(pointer);
  const Node* const around = find(parts.around);
  PANEWALK_CHECK(around != nullptr && find(pointer) == nullptr);
  const std::size_t index = behind.empty() ? 0 : index_of(*around, behind) + 1;
  put_child(*around, index, label_of(parts.last), value);
}

void TextEditor::put_child(const Node& around, std::size_t index, const std::string& label,
                           const Node& value) {
  const std::string end_of_line = line_end_of(text());
  const auto made = [&](std::size_t before, const std::string& indent) {
    return label + laid_out(value, before + label.size(), indent, end_of_line);
  };
  const auto children = children_of(text(), around);
  if (children.empty()) {
    const std::size_t inside = around.offset + 1;
    const std::string blank = around.kind == Node::Kind::kObject ? " " : "";
    const std::size_t before = inside - line_start(text(), inside) + blank.size();
    return replace(inside, end_of_value(text(), around.offset) - 1,
                   blank + made(before, indent_at(text(), inside)) + blank);
  }
  if (index == 0) {
    const std::size_t at = children.front().from;
    const std::string indent = indent_at(text(), at);
    const std::string after =
        begins_its_line(text(), at) ? ',' + end_of_line + indent : std::string{", "};
    return replace(at, at, made(at - line_start(text(), at), indent) + after);
  }
  const Stretch& before = children[index - 1];
  const std::size_t line = line_start(text(), before.end);
  const std::size_t rest = text().find_first_of("\r\n", before.end);
  const std::size_t in_line = std::min(rest, text().size()) - line;
  const bool fits = in_line + 2 + label.size() + one_line(value).size() <= kWidest;
  if (fits && !begins_its_line(text(), before.from)) {
    return replace(before.end, before.end, ", " + label + one_line(value));
  }
  const std::string indent = begins_its_line(text(), before.from)
                                 ? indent_at(text(), before.from)
                                 : blanks_below(text(), children.front().from);
  replace(before.end, before.end, ',' + end_of_line + indent + made(indent.size(), indent));
}

void TextEditor::remove(std::string_view pointer) {
  const Parts parts = parts_of(pointer);
  const Node* const around = find(parts.around);
  const Node* const there = find(pointer);
  PANEWALK_CHECK(around != nullptr && there != nullptr);
  const auto children = children_of(text(), *around);
  const std::size_t index = around->kind == Node::Kind::kObject
                                ? index_of(*around, unescaped(parts.last))
                                : static_cast<std::size_t>(there - around->elements.data());
  const bool first = index == 0;
  const bool last = index + 1 == children.size();
  if (first && last) {
    return replace(around->offset + 1, end_of_value(text(), around->offset) - 1, "");
  }
  // What begins a line leaves its place to the next one; what ends a line goes with the comma
  // before it.
  if (!last && (first || begins_its_line(text(), children[index].from))) {
    return replace(children[index].from, children[index + 1].from, "");
  }
  replace(children[index - 1].end, children[index].end, "");
}

}  // namespace panewalk::config
