#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace panewalk::base {

/// One thing that is wrong with what a person wrote, in words that help to mend it.
struct Problem {
  std::string file;    ///< as named on the command line or by the file that names it; may be empty
  int line = 0;        ///< from 1; 0 where no text is behind it
  int column = 0;      ///< in characters from 1; 0 where no text is behind it
  std::string where;   ///< a JSON pointer: "/sections/0/window/panes"; "" is the whole text
  std::string what;    ///< what was found and why it can't be
  std::string remedy;  ///< what is allowed, or the nearest right thing; may be empty
  bool at_name = false;            ///< the fault is the name of the member, not its value
  std::optional<int> within = {};  ///< characters into the string at `where`, from 0

  bool operator==(const Problem&) const = default;
};

using Problems = std::vector<Problem>;

/// `file:line:column: where: what; remedy`, leaving out the parts that are not known. One line,
/// whatever the texts hold: control characters are escaped.
std::string to_line(const Problem& problem);

/// A member of the object at `pointer`, escaped as RFC 6901 says.
std::string member(std::string_view pointer, std::string_view name);
/// An element of the array at `pointer`, from 0.
std::string element(std::string_view pointer, std::size_t index);

/// Appends and leaves `more` empty.
void append(Problems& all, Problems&& more);

/// The words "a", "a and b", "a, b and c"; `last` is the word before the last one.
std::string listed(const std::vector<std::string>& words, std::string_view last = "and");

/// `text` in double quotes, control characters and quotes escaped as in JSON, cut after `most`
/// characters. A path is worth its whole length.
std::string quoted(std::string_view text, std::size_t most = 60);

}  // namespace panewalk::base
