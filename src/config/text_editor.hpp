#pragma once

#include <string>
#include <string_view>

#include "config/text.hpp"

namespace panewalk::config {

/// Changes single values of a JSON text. Every other byte stays: blanks, line ends, the order of
/// the members. What is put in looks like what stands before it. Pointers are those of RFC 6901;
/// all but their last part must be there.
class TextEditor {
 public:
  explicit TextEditor(Tree tree) : tree_{std::move(tree)} {}

  [[nodiscard]] const std::string& text() const { return tree_.text; }
  /// None where nothing is there. Good until the next change.
  [[nodiscard]] const Node* find(std::string_view pointer) const;

  /// Replaces the value that is there. A member that is missing, or the element after a list's
  /// last, is put in at the end.
  void set(std::string_view pointer, const Node& value);
  /// Puts in a member that is missing: behind another one that is there, "" before all.
  void put_in(std::string_view pointer, const Node& value, std::string_view behind);
  /// Takes out the member or element that is there, with its comma.
  void remove(std::string_view pointer);

 private:
  void replace(std::size_t from, std::size_t end, const std::string& with);
  void put_child(const Node& around, std::size_t index, const std::string& label,
                 const Node& value);

  Tree tree_;
};

}  // namespace panewalk::config
