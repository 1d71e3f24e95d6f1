#include "config/put_route.hpp"

#include <algorithm>

namespace panewalk::config {
namespace {

constexpr std::size_t kWidest = 100;  // characters of a line that holds the whole list

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

std::string quoted_text(const std::string& text) {
  Node node;
  node.kind = Node::Kind::kString;
  node.text = text;
  std::string written = to_text(node);
  written.pop_back();
  return written;
}

std::size_t line_start(const std::string& text, std::size_t offset) {
  return offset == 0 ? 0 : text.rfind('\n', offset - 1) + 1;
}

/// What stands before the first word of the line that holds `offset`.
std::string indent_at(const std::string& text, std::size_t offset) {
  const std::size_t line = line_start(text, offset);
  return text.substr(line, text.find_first_not_of(" \t", line) - line);
}

/// `before` is what stands in its line already, in bytes.
std::string list_of(const std::vector<std::string>& runs, const std::string& text,
                    std::size_t offset, std::size_t before) {
  std::string line = "[";
  for (const std::string& run : runs) line += (line.size() > 1 ? ", " : "") + quoted_text(run);
  line += ']';
  if (before + line.size() <= kWidest) return line;
  const std::string end_of_line = line_end_of(text);
  const std::string indent = indent_at(text, offset);
  std::string lines = "[";
  for (std::size_t i = 0; i < runs.size(); ++i) {
    lines += (i > 0 ? "," : "") + end_of_line + indent + "  " + quoted_text(runs[i]);
  }
  return lines + end_of_line + indent + ']';
}

}  // namespace

std::string put_route(const Tree& tree, const std::vector<std::string>& runs) {
  std::string text = tree.text;
  const Member* wiring = tree.root.find("wiring");
  if (wiring == nullptr) {
    const Member& sections = *tree.root.find("sections");
    const std::string start = indent_at(text, sections.offset) + "\"wiring\": { \"route\": ";
    const std::size_t end = end_of_value(text, sections.value.offset);
    return text.insert(end, ',' + line_end_of(text) + start +
                                list_of(runs, text, sections.offset, start.size()) + " }");
  }
  const Node& object = wiring->value;
  if (const Member* route = object.find("route")) {
    const std::size_t from = route->value.offset;
    return text.replace(from, end_of_value(text, from) - from,
                        list_of(runs, text, from, from - line_start(text, from)));
  }
  const std::size_t inside = object.offset + 1;
  const std::string after = object.members.empty() ? " " : ",";
  return text.insert(
      inside,
      " \"route\": " + list_of(runs, text, inside, inside - line_start(text, inside)) + after);
}

}  // namespace panewalk::config
