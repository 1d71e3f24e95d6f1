#include "config/reader.hpp"

#include <algorithm>

#include "base/nearest.hpp"
#include "config/locator.hpp"
#include "config/units.hpp"

namespace panewalk::config {
namespace {

constexpr std::size_t kLongestName = 40;
constexpr std::size_t kLongestFileName = 200;

std::size_t characters(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char letter) {
    return (static_cast<unsigned char>(letter) & 0xc0U) != 0x80U;
  }));
}

bool is_control(char letter) {
  const auto byte = static_cast<unsigned char>(letter);
  return byte < 0x20 || byte == 0x7f;
}

bool is_name(std::string_view text, std::string_view also) {
  return !text.empty() && text.size() <= kLongestName &&
         std::all_of(text.begin(), text.end(), [also](char letter) {
           return (letter >= 'a' && letter <= 'z') || (letter >= 'A' && letter <= 'Z') ||
                  (letter >= '0' && letter <= '9') || also.find(letter) != std::string_view::npos;
         });
}

std::string name_of(const Value& value, std::string_view also, const std::string& allowed) {
  if (value.node->kind != Node::Kind::kString) {
    value.wrong_type("a name in double quotes");
    return {};
  }
  if (!is_name(value.node->text, also)) {
    value.refuse(base::quoted(value.node->text) + " can't be a name", allowed);
  }
  return value.node->text;
}

bool stays_below(std::string_view file) {
  if (file.empty() || file.size() > kLongestFileName || file.front() == '/') return false;
  if (std::any_of(file.begin(), file.end(),
                  [](char letter) { return letter == '\\' || is_control(letter); })) {
    return false;
  }
  while (true) {
    const std::size_t slash = file.find('/');
    if (file.substr(0, slash) == "..") return false;
    if (slash == std::string_view::npos) return true;
    file.remove_prefix(slash + 1);
  }
}

std::vector<std::string> all_quoted(const std::vector<std::string>& words) {
  std::vector<std::string> quoted;
  quoted.reserve(words.size());
  for (const std::string& word : words) quoted.push_back(base::quoted(word));
  return quoted;
}

}  // namespace

void Report::add(base::Problem problem) {
  if (problems_.size() < kMost) {
    problems_.push_back(std::move(problem));
  } else {
    ++more_;
  }
}

base::Problems Report::take(const Tree& tree) {
  Locator{tree}.place(problems_);
  if (more_ > 0) {
    problems_.push_back(
        {.what = std::to_string(more_) + " more problems", .remedy = "mend these first"});
  }
  return std::move(problems_);
}

void Value::refuse(std::string what, std::string remedy) const {
  report->add(
      {.where = where, .what = std::move(what), .remedy = std::move(remedy), .at_name = of_name});
}

void Value::wrong_type(const std::string& needed) const {
  refuse("found " + found(*node), needed + " is needed");
}

Object::Object(const Value& value, const std::string& needed)
    : self_{value}, is_object_{value.node->kind == Node::Kind::kObject} {
  if (!is_object_) value.wrong_type(needed);
}

std::optional<Value> Object::may(std::string_view name) {
  known_.emplace_back(name);
  const Member* const member = self_.node->find(name);
  if (member == nullptr) return std::nullopt;
  return Value{&member->value, base::member(self_.where, name), self_.report};
}

std::optional<Value> Object::must(std::string_view name, const std::string& needed) {
  auto value = may(name);
  if (!value && is_object_) {
    self_.report->add(
        {.where = base::member(self_.where, name), .what = "missing", .remedy = needed});
  }
  return value;
}

std::optional<std::pair<std::string, Value>> Object::one_at_most(
    const std::vector<std::string>& names) {
  std::optional<std::pair<std::string, Value>> first;
  for (const std::string& name : names) {
    auto value = may(name);
    if (!value) continue;
    if (!first) {
      first.emplace(name, *std::move(value));
    } else {
      refuse_name(name, base::quoted(name) + " beside " + base::quoted(first->first),
                  "one of the two");
    }
  }
  return first;
}

std::optional<std::pair<std::string, Value>> Object::one_of(const std::vector<std::string>& names,
                                                            const std::string& without) {
  auto one = one_at_most(names);
  if (!one && is_object_) {
    self_.refuse(without, "one of " + base::listed(all_quoted(names), "or") + " is needed");
  }
  return one;
}

bool Object::has(std::string_view name) const { return self_.node->find(name) != nullptr; }

void Object::finish() const {
  for (const Member& member : self_.node->members) {
    if (std::find(known_.begin(), known_.end(), member.name) != known_.end()) continue;
    refuse_name(member.name, "unknown name", base::name_hint(member.name, known_));
  }
}

void Object::refuse_name(std::string_view name, std::string what, std::string remedy) const {
  self_.report->add({.where = base::member(self_.where, name),
                     .what = std::move(what),
                     .remedy = std::move(remedy),
                     .at_name = true});
}

std::string found(const Node& node) {
  switch (node.kind) {
    case Node::Kind::kNull: return "null";
    case Node::Kind::kBoolean: return node.truth ? "true" : "false";
    case Node::Kind::kNumber:
      return "the number " + (node.whole ? std::to_string(*node.whole) : decimal(node.number));
    case Node::Kind::kString: return "the text " + base::quoted(node.text);
    case Node::Kind::kList: return "a list";
    case Node::Kind::kObject: return "an object";
  }
  return {};
}

std::vector<Value> list(const Value& value, const std::string& needed, std::size_t least,
                        std::size_t most) {
  std::vector<Value> values;
  if (value.node->kind != Node::Kind::kList) {
    value.wrong_type(needed);
    return values;
  }
  const std::vector<Node>& elements = value.node->elements;
  if (elements.size() < least || elements.size() > most) {
    const std::string remedy = least == most             ? needed + " is needed"
                               : elements.size() < least ? "at least " + std::to_string(least)
                                                         : "at most " + std::to_string(most);
    value.refuse(
        elements.empty() ? "an empty list" : "a list of " + std::to_string(elements.size()),
        remedy);
    return values;
  }
  values.reserve(elements.size());
  for (std::size_t i = 0; i < elements.size(); ++i) {
    values.push_back({&elements[i], base::element(value.where, i), value.report});
  }
  return values;
}

int whole(const Value& value, int least, int most) {
  const std::string range = "from " + std::to_string(least) + " to " + std::to_string(most);
  const Node& node = *value.node;
  if (node.kind != Node::Kind::kNumber) {
    value.wrong_type("a whole number " + range);
    return least;
  }
  const bool in_range = node.number >= least && node.number <= most;
  if (!node.whole && in_range) {
    value.refuse(decimal(node.number) + " is not whole", "a whole number " + range);
    return least;
  }
  if (!in_range) {
    value.refuse(
        (node.whole ? std::to_string(*node.whole) : decimal(node.number)) + " is out of range",
        range);
    return least;
  }
  return static_cast<int>(*node.whole);
}

std::string text(const Value& value, std::size_t least, std::size_t most, Words words) {
  if (value.node->kind != Node::Kind::kString) {
    value.wrong_type("a text in double quotes");
    return {};
  }
  const std::string& written = value.node->text;
  const std::size_t length = characters(written);
  if (length < least || length > most) {
    value.refuse(
        length == 0 ? "an empty text" : "a text of " + std::to_string(length) + " characters",
        "from " + std::to_string(least) + " to " + std::to_string(most) + " characters");
  } else if (std::any_of(written.begin(), written.end(), [words](char letter) {
               return is_control(letter) && !(words == Words::kLines && letter == '\n');
             })) {
    value.refuse(base::quoted(written) + " has a control character in it",
                 words == Words::kLine ? "one line of plain text" : "plain text");
  }
  return written;
}

std::string name(const Value& value) {
  return name_of(value, "-_", "1 to 40 letters, digits, \"-\" or \"_\"");
}

std::string word(const Value& value) {
  return name_of(value, "_", "1 to 40 letters, digits or \"_\", so that a route can say it");
}

std::string file_name(const Value& value) {
  if (value.node->kind != Node::Kind::kString) {
    value.wrong_type("a file name in double quotes");
    return {};
  }
  if (!stays_below(value.node->text)) {
    value.refuse(base::quoted(value.node->text) + " can't be opened from here",
                 "a file named by another file lies in the same folder or below");
  }
  return value.node->text;
}

std::optional<std::size_t> choice(const Value& value, const std::vector<std::string>& words) {
  if (value.node->kind != Node::Kind::kString) {
    value.wrong_type(base::listed(all_quoted(words), "or"));
    return std::nullopt;
  }
  const auto at = std::find(words.begin(), words.end(), value.node->text);
  if (at == words.end()) {
    value.refuse(base::quoted(value.node->text) + " is not known",
                 base::name_hint(value.node->text, words));
    return std::nullopt;
  }
  return static_cast<std::size_t>(at - words.begin());
}

void read_format(Object& object) {
  const auto format = object.may("format");
  if (!format) return;
  if (format->node->kind != Node::Kind::kNumber) {
    format->wrong_type("the number 1");
  } else if (format->node->whole != 1) {
    format->refuse(found(*format->node) + " is no known format", "this program reads format 1");
  }
}

}  // namespace panewalk::config
