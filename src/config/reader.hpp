#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/problem.hpp"
#include "config/text.hpp"

namespace panewalk::config {

/// Collects what is wrong with one file.
class Report {
 public:
  void add(base::Problem problem);
  [[nodiscard]] bool clean() const { return problems_.empty(); }
  /// In the order of the text, with line and column.
  base::Problems take(const Tree& tree);

 private:
  // A file with more faults than this has one fault of another kind.
  static constexpr std::size_t kMost = 1000;
  base::Problems problems_;
  std::size_t more_ = 0;
};

/// A value that is there, and its pointer. Reading it wrongly is a problem in the report and gives
/// a stand-in that is never used, since a file with problems gives no description.
struct Value {
  const Node* node = nullptr;
  std::string where;
  Report* report = nullptr;
  bool of_name = false;  ///< stands for the name of a member

  void refuse(std::string what, std::string remedy) const;
  /// "found true; a list is needed".
  void wrong_type(const std::string& needed) const;
};

/// An object whose members are asked for by name; what nobody asked for is unknown.
class Object {
 public:
  /// `needed` says what stands here, where something else was found: "a controller, as an object".
  Object(const Value& value, const std::string& needed);

  /// Nothing where it is missing.
  std::optional<Value> may(std::string_view name);
  /// Missing is a problem; `needed` says what belongs there.
  std::optional<Value> must(std::string_view name, const std::string& needed);
  /// The one that is there. None is a problem (`without`: "a section without a shape"), and so is
  /// each beyond the first.
  std::optional<std::pair<std::string, Value>> one_of(const std::vector<std::string>& names,
                                                      const std::string& without);
  /// The same, but none is allowed.
  std::optional<std::pair<std::string, Value>> one_at_most(const std::vector<std::string>& names);
  [[nodiscard]] bool has(std::string_view name) const;
  /// Reports the members that nobody asked for. Once, after the last question.
  void finish() const;

  [[nodiscard]] const Value& self() const { return self_; }
  /// A problem with the name of a member that is there.
  void refuse_name(std::string_view name, std::string what, std::string remedy) const;

 private:
  Value self_;
  bool is_object_;
  std::vector<std::string> known_;
};

/// What `node` is, for people: "the number 3", "a list".
std::string found(const Node& node);

/// `needed`: "a list of runs". Too few or too many is a problem.
std::vector<Value> list(const Value& value, const std::string& needed, std::size_t least,
                        std::size_t most);

/// Both ends included.
int whole(const Value& value, int least, int most);

/// Any characters but control characters; line breaks only in `kLines`.
enum class Words { kLine, kLines };
std::string text(const Value& value, std::size_t least, std::size_t most, Words words);

/// 1 … 40 letters, digits, "-", "_".
std::string name(const Value& value);
/// 1 … 40 letters, digits, "_": what a route can name.
std::string word(const Value& value);
/// A file in the same folder or below.
std::string file_name(const Value& value);
/// Which of the words it is, from 0; nothing, with a problem, for any other.
std::optional<std::size_t> choice(const Value& value, const std::vector<std::string>& words);

/// The member "format" that every file may have.
void read_format(Object& object);

}  // namespace panewalk::config
