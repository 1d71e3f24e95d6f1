#include "config/text.hpp"

#include <cmath>
#include <iterator>
#include <nlohmann/json.hpp>
#include <unordered_map>

#include "config/locator.hpp"
#include "config/syntax.hpp"

namespace panewalk::config {
namespace {

using Json = nlohmann::json;

/// Steps through the text and tells how far the library has read.
class Counting {
 public:
  using iterator_category = std::input_iterator_tag;
  using value_type = char;
  using difference_type = std::ptrdiff_t;
  using pointer = const char*;
  using reference = const char&;

  Counting(const char* at, std::size_t* count) : at_{at}, count_{count} {}
  reference operator*() const { return *at_; }
  Counting& operator++() {
    ++at_;
    ++*count_;
    return *this;
  }
  Counting operator++(int) {
    Counting before = *this;
    ++*this;
    return before;
  }
  bool operator==(const Counting& other) const { return at_ == other.at_; }
  bool operator!=(const Counting& other) const { return at_ != other.at_; }

 private:
  const char* at_;
  std::size_t* count_;
};

/// What the library calls at each token. Every event answers whether to go on.
class TreeBuilder {
 public:
  TreeBuilder(std::string_view text, const Limits& limits) : text_{text}, limits_{limits} {}

  std::size_t* count() { return &count_; }
  Node& root() { return root_; }
  base::Problems& problems() { return problems_; }

  bool null() { return value({.kind = Node::Kind::kNull}); }
  bool boolean(bool truth) { return value({.kind = Node::Kind::kBoolean, .truth = truth}); }
  bool number_integer(std::int64_t whole) {
    return value(
        {.kind = Node::Kind::kNumber, .number = static_cast<double>(whole), .whole = whole});
  }
  bool number_unsigned(std::uint64_t whole) {
    if (whole > static_cast<std::uint64_t>(INT64_MAX)) return too_large();
    return number_integer(static_cast<std::int64_t>(whole));
  }
  bool number_float(double number, const std::string& digits) {
    if (digits.find_first_of(".eE") == std::string::npos) return too_large();
    Node node{.kind = Node::Kind::kNumber, .number = number};
    constexpr double kExact = 9007199254740992.0;  // 2^53: below it 11.0 is 11 and nothing else
    if (std::abs(number) < kExact && std::trunc(number) == number) {
      node.whole = static_cast<std::int64_t>(number);
    }
    return value(std::move(node));
  }
  bool string(std::string& text) {
    if (!string_fits(text)) return false;
    return value({.kind = Node::Kind::kString, .text = std::move(text)});
  }
  bool binary(Json::binary_t& /*unused: JSON text has none*/) { return false; }

  bool start_object(std::size_t /*size*/) { return enter(Node::Kind::kObject); }
  bool start_array(std::size_t /*size*/) { return enter(Node::Kind::kList); }
  bool end_object() { return leave(); }
  bool end_array() { return leave(); }

  bool key(std::string& name) {
    const std::size_t offset = begin();
    if (!string_fits(name)) return false;
    Open& open = stack_.back();
    const auto [first, is_new] = open.names.emplace(name, offset);
    if (!is_new && problems_.size() < kMostDoubled) {
      refuse({offset,
              "the name is there twice, first in line " +
                  std::to_string(lines().at(first->second).line),
              "keep one of the two"},
             base::member(open.where, name));
    }
    open.node->members.push_back({.name = std::move(name), .offset = offset, .value = {}});
    end_ = count_;
    expected_ = Expected::kColon;
    return true;
  }

  template <class Exception>
  bool parse_error(std::size_t /*position*/, const std::string& /*token*/, const Exception&) {
    refuse(explain(text_, end_, expected_), {});
    return false;
  }

 private:
  static constexpr std::size_t kMostDoubled = 1000;

  struct Open {
    Node* node;
    std::string where;
    std::unordered_map<std::string, std::size_t> names = {};
  };

  [[nodiscard]] std::size_t begin() const { return next_token(text_, end_); }

  const Lines& lines() {
    if (!lines_) lines_.emplace(text_);
    return *lines_;
  }

  void refuse(Fault fault, std::string where) {
    const Position position = lines().at(fault.offset);
    problems_.push_back({.line = position.line,
                         .column = position.column,
                         .where = std::move(where),
                         .what = std::move(fault.what),
                         .remedy = std::move(fault.remedy)});
  }

  bool too_large() {
    refuse({begin(),
            "a number too large: " +
                base::quoted(text_.substr(begin(), number_length(text_, begin()))),
            {}},
           {});
    return false;
  }

  bool string_fits(const std::string& text) {
    if (text.size() <= limits_.string_bytes) return true;
    refuse({begin(), "a text of " + std::to_string(text.size()) + " bytes",
            "at most " + std::to_string(limits_.string_bytes)},
           {});
    return false;
  }

  /// Where the value that begins now goes; nothing when there are too many.
  Node* place(Node&& node) {
    node.offset = begin();
    if (++values_ > limits_.values) {
      refuse({node.offset, "too many values", "at most " + std::to_string(limits_.values)}, {});
      return nullptr;
    }
    if (stack_.empty()) return &(root_ = std::move(node));
    Node& around = *stack_.back().node;
    if (around.kind == Node::Kind::kList) {
      around.elements.push_back(std::move(node));
      return &around.elements.back();
    }
    return &(around.members.back().value = std::move(node));
  }

  bool value(Node&& node) {
    const bool number = node.kind == Node::Kind::kNumber;
    const Node* const placed = place(std::move(node));
    if (placed == nullptr) return false;
    // The library has read one character past a number.
    end_ = number ? placed->offset + number_length(text_, placed->offset) : count_;
    after_value();
    return true;
  }

  bool enter(Node::Kind kind) {
    std::string where;
    if (!stack_.empty()) {
      const Open& around = stack_.back();
      where = around.node->kind == Node::Kind::kList
                  ? base::element(around.where, around.node->elements.size())
                  : base::member(around.where, around.node->members.back().name);
    }
    if (stack_.size() == limits_.depth) {
      refuse({begin(), "too deep: lists and objects inside each other",
              "at most " + std::to_string(limits_.depth)},
             {});
      return false;
    }
    Node* const placed = place({.kind = kind});
    if (placed == nullptr) return false;
    stack_.push_back({.node = placed, .where = std::move(where)});
    end_ = count_;
    expected_ = kind == Node::Kind::kObject ? Expected::kFirstName : Expected::kFirstElement;
    return true;
  }

  bool leave() {
    stack_.pop_back();
    end_ = count_;
    after_value();
    return true;
  }

  void after_value() {
    expected_ = stack_.empty()                                    ? Expected::kEnd
                : stack_.back().node->kind == Node::Kind::kObject ? Expected::kAfterMember
                                                                  : Expected::kAfterElement;
  }

  std::string_view text_;
  Limits limits_;
  std::size_t count_ = 0;  // bytes that the library has read
  std::size_t end_ = 0;    // of the last token
  std::size_t values_ = 0;
  Expected expected_ = Expected::kValue;
  Node root_;
  std::vector<Open> stack_;
  std::optional<Lines> lines_;
  base::Problems problems_;
};

std::string scalar(const Node& node) {
  switch (node.kind) {
    case Node::Kind::kBoolean: return node.truth ? "true" : "false";
    case Node::Kind::kNumber:
      return node.whole ? std::to_string(*node.whole) : Json(node.number).dump();
    case Node::Kind::kString:
      return Json(node.text).dump(-1, ' ', false, Json::error_handler_t::replace);
    default: return "null";
  }
}

std::string label(const Member& member) {
  return scalar({.kind = Node::Kind::kString, .text = member.name}) + ": ";
}

bool holds_others(const Node& node) {
  return node.kind == Node::Kind::kObject || node.kind == Node::Kind::kList;
}

void write(const Node& node, std::size_t indent, std::string& out) {
  constexpr std::size_t kWidth = 96;
  std::string line = one_line(node);
  if (!holds_others(node) || (indent > 0 && indent + line.size() <= kWidth)) {
    out += line;
    return;
  }
  const bool object = node.kind == Node::Kind::kObject;
  const std::string inner(indent + 2, ' ');
  out += object ? "{" : "[";
  const char* separator = "\n";
  const auto next = [&out, &separator, &inner] {
    out += separator + inner;
    separator = ",\n";
  };
  for (const Node& element : node.elements) {
    next();
    write(element, indent + 2, out);
  }
  for (const Member& member : node.members) {
    next();
    out += label(member);
    write(member.value, indent + 2, out);
  }
  out += '\n' + std::string(indent, ' ') + (object ? "}" : "]");
}

}  // namespace

const Member* Node::find(std::string_view name) const {
  for (const Member& member : members) {
    if (member.name == name) return &member;
  }
  return nullptr;
}

base::Result<Tree> read_text(std::string_view text, const Limits& limits) {
  auto read = read_text_with_doubled(text, limits);
  if (!read) return std::move(read).error();
  TreeWithDoubled with = std::move(read).value();
  if (!with.doubled.empty()) return std::move(with.doubled);
  return std::move(with.tree);
}

base::Result<TreeWithDoubled> read_text_with_doubled(std::string_view text, const Limits& limits) {
  if (text.size() > limits.bytes) {
    return base::Problems{{.what = "the text has " + std::to_string(text.size()) + " bytes",
                           .remedy = "at most " + std::to_string(limits.bytes)}};
  }
  if (const auto fault = unreadable(text)) {
    const Position position = Lines{text}.at(fault->offset);
    return base::Problems{{.line = position.line,
                           .column = position.column,
                           .what = fault->what,
                           .remedy = fault->remedy}};
  }
  TreeBuilder builder{text, limits};
  // Doubled names are the only problems that let the reading go on to the end.
  const bool whole =
      Json::sax_parse(Counting{text.data(), builder.count()},
                      Counting{text.data() + text.size(), builder.count()}, &builder);
  if (!whole) return std::move(builder.problems());
  return TreeWithDoubled{.tree = {.text = std::string{text}, .root = std::move(builder.root())},
                         .doubled = std::move(builder.problems())};
}

std::string one_line(const Node& node) {
  if (!holds_others(node)) return scalar(node);
  const bool object = node.kind == Node::Kind::kObject;
  std::string inside;
  for (const Node& element : node.elements) {
    inside += (inside.empty() ? "" : ", ") + one_line(element);
  }
  for (const Member& member : node.members) {
    inside += (inside.empty() ? "" : ", ") + label(member) + one_line(member.value);
  }
  if (!object) return '[' + inside + ']';
  return inside.empty() ? "{}" : "{ " + inside + " }";
}

std::string to_text(const Node& node) {
  std::string out;
  write(node, 0, out);
  return out + '\n';
}

}  // namespace panewalk::config
