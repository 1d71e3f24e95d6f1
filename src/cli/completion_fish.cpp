#include "cli/completion.hpp"

namespace panewalk::cli {
namespace {

constexpr const char* kFunctions = R"sh(
# The command, how many words of its own stand behind it, and its site file.
function __NAME_typed
    set -l words (commandline -opc)
    set -l command ''
    set -l place 0
    set -l site ''
    set -l pending 0
    for word in $words[2..-1]
        if test $pending = 1
            set pending 0
        else if string match -q -- '-*' $word
            contains -- "$command $word" $__NAME_valued; and set pending 1
        else if test -z "$command"
            set command $word
        else
            set place (math $place + 1)
            contains -- "$command $place" $__NAME_sites; and set site $word
        end
    end
    printf '%s\n' "$command" $place "$site"
end

function __NAME_in
    set -l typed (__NAME_typed)
    test "$typed[1]" = "$argv[1]"
end

# At this place behind the command, counted from 0.
function __NAME_at
    set -l typed (__NAME_typed)
    test "$typed[1] $typed[2]" = "$argv[1] $argv[2]"
end

function __NAME_names
    set -l words (commandline -opc)
    set -l typed (__NAME_typed)
    set -l program (string replace -r '^~/' "$HOME/" -- $words[1])
    $program manual --names $argv[1] (string replace -r '^~/' "$HOME/" -- "$typed[3]") 2>/dev/null
end

)sh";

/// In single quotes, as fish reads them.
std::string quoted(const std::string& text) {
  std::string out = "'";
  for (const char c : text) {
    if (c == '\'' || c == '\\') out += '\\';
    out += c;
  }
  return out + "'";
}

/// What is offered for a value, "" for nothing.
std::string offered(const OutlinedWord& word, const std::string& name) {
  switch (word.takes) {
    case Takes::kNothing:
    case Takes::kText: return "";
    case Takes::kChoice: return " -a " + quoted(spaced(word.choices));
    case Takes::kSite:
    case Takes::kJsonFile: return " -k -a '(__fish_complete_suffix .json)'";
    case Takes::kFile: return " -F";
    case Takes::kProp:
    case Takes::kPattern:
    case Takes::kFault: return " -a '(__" + name + "_names " + names_asked(word.takes) + ")'";
  }
  return "";
}

void add_options(std::string& out, const OutlinedCommand& command, const std::string& name,
                 const std::string& condition) {
  for (const OutlinedWord& option : command.options) {
    out += "complete -c " + name + " -n " + quoted(condition);
    for (const auto& each : option.names) {
      out += each.starts_with("--") ? " -l " + each.substr(2) : " -s " + each.substr(1);
    }
    if (option.takes == Takes::kFile) {
      out += " -r";
    } else if (option.takes != Takes::kNothing) {
      out += " -x";
    }
    out += offered(option, name) + " -d " + quoted(option.about) + "\n";
  }
}

void add_positionals(std::string& out, const OutlinedCommand& command, const std::string& name) {
  for (std::size_t i = 0; i < command.positionals.size(); ++i) {
    const std::string offer = offered(command.positionals[i], name);
    if (offer.empty()) continue;
    out += "complete -c " + name + " -n " +
           quoted("__" + name + "_at " + command.name + ' ' + std::to_string(i)) + offer + "\n";
  }
}

/// The options that take a value and the places of site files, for the functions.
std::string lists(const Outline& outline) {
  const std::string& name = outline.self.name;
  std::string valued = "set -g __" + name + "_valued";
  std::string sites = "set -g __" + name + "_sites";
  for (const OutlinedCommand& command : outline.commands) {
    for (const OutlinedWord& option : command.options) {
      if (option.takes == Takes::kNothing) continue;
      for (const auto& each : option.names) valued += ' ' + quoted(command.name + ' ' + each);
    }
    const std::size_t site = command.site_place();
    if (site > 0) sites += ' ' + quoted(command.name + ' ' + std::to_string(site));
  }
  return valued + "\n" + sites + "\n";
}

}  // namespace

std::string fish_completion(const Outline& outline) {
  const std::string& name = outline.self.name;
  std::string functions = kFunctions;
  for (std::size_t at = 0; (at = functions.find("NAME", at)) != std::string::npos;) {
    functions.replace(at, 4, name);
  }
  std::string out = "# fish completion for " + name + ", made by `" + name +
                    " manual --as fish`.\n\n" + lists(outline) + functions + "complete -c " + name +
                    " -f\n";
  const std::string first = "__" + name + "_in ''";
  add_options(out, outline.self, name, first);
  for (const OutlinedCommand& command : outline.commands) {
    out += "complete -c " + name + " -n " + quoted(first) + " -a " + command.name + " -d " +
           quoted(command.about) + "\n";
  }
  for (const OutlinedCommand& command : outline.commands) {
    add_positionals(out, command, name);
    add_options(out, command, name, "__" + name + "_in " + command.name);
  }
  return out;
}

}  // namespace panewalk::cli
