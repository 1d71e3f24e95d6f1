#pragma once

#include <string>

#include "cli/manual_outline.hpp"

namespace panewalk::cli {

// Completions of a command line, for a shell to read: commands, options, choices and file names
// from the outline; names of props, patterns and faults are asked of the program itself when they
// are needed, by `manual --names WHAT SITE`.

std::string bash_completion(const Outline& outline);
std::string zsh_completion(const Outline& outline);
std::string fish_completion(const Outline& outline);

/// "'text'" for a POSIX shell or zsh, whatever is in the text.
std::string shell_quoted(const std::string& text);

/// What `manual --names` calls it: "props", "patterns", "faults"; "" for anything else.
std::string names_asked(Takes takes);

/// "a b c".
std::string spaced(const std::vector<std::string>& words);

/// The names of all options, "--as --help -h".
std::string option_names(const OutlinedCommand& command);

}  // namespace panewalk::cli
