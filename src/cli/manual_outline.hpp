#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace panewalk::cli {

/// What is typed at a place, for a shell that completes it. It is told by the word that --help
/// shows: SITE, PROPFILE, FILE, PROP, PATTERN, PROP:FAULT[=VALUE]; any other is free text.
enum class Takes { kNothing, kText, kChoice, kSite, kJsonFile, kFile, kProp, kPattern, kFault };

/// An option or a positional.
struct OutlinedWord {
  std::vector<std::string> names;  ///< "-h", "--help"; of a positional its name alone
  std::string about;
  std::string value;                 ///< what is typed, "PROP"; "" for a flag
  std::vector<std::string> choices;  ///< all that it may be; none: anything
  std::string range;                 ///< "0.1 to 60", "" without one
  std::string preset;                ///< where it is left out, "" for nothing
  bool required = false;
  bool repeats = false;
  bool is_help = false;
  std::vector<std::string> needs, excludes;  ///< names of other options
  Takes takes = Takes::kNothing;
};

struct OutlinedCommand {
  std::string name, about, footer;
  std::vector<OutlinedWord> positionals, options;

  /// The place of SITE among the positionals, from 1; 0 where it has none.
  [[nodiscard]] std::size_t site_place() const;
};

/// All that the command line can say: `self` has what stands before a command.
struct Outline {
  OutlinedCommand self;
  std::vector<OutlinedCommand> commands;
};

/// What --help would tell. Options of the group "" are hidden there and here.
Outline outline(const CLI::App& app);

}  // namespace panewalk::cli
