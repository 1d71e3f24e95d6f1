#pragma once

#include <filesystem>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "architecture/source_text.hpp"

namespace panewalk::architecture {

/// A folder of src/ as CMakeLists.txt has it.
struct Folder {
  int floor = 0;
  std::set<std::string> may_use;  ///< what it depends on, and what that depends on
};

using Folders = std::map<std::string, Folder>;

struct File {
  std::string path;  ///< from the top of the tree, with '/'
  std::string text;
  SourceText lines;  ///< filled for C++

  bool is_cpp() const;
};

/// Every text file that the rules look at, and the table of the floors.
struct Tree {
  Folders folders;
  std::vector<File> files;
};

/// Reads src, tests, patterns, config, .ci, .cmake, run and CMakeLists.txt below `top`.
Tree read_tree(const std::filesystem::path& top);

/// A rule gives one line for each place that breaks it: `file:line: what is wrong`.
using Findings = std::vector<std::string>;

Findings includes_above(const Tree& tree);
Findings folders_without_floor(const Tree& tree);
/// A source file that has a header includes it first, and so shows that it compiles by itself.
Findings own_headers_behind_others(const Tree& tree);
Findings libraries_away_from_home(const Tree& tree);
Findings impure_core(const Tree& tree);
Findings unchecked_json_numbers(const Tree& tree);
Findings casts_of_buffers(const Tree& tree);
Findings captures_of_everything(const Tree& tree);
Findings unfinished_words(const Tree& tree);
Findings long_files(const Tree& tree);
Findings sleeping_tests(const Tree& tree);
Findings text_that_is_not_utf8(const Tree& tree);

}  // namespace panewalk::architecture
