#include "cli/completion.hpp"

namespace panewalk::cli {
namespace {

constexpr const char* kHead = R"sh(
# Names out of the site file that was typed: at the end, which of them, and the place of the file.
_NAME_names() {
  local site=${(Q)line[${@[-1]}]}
  local -a names plain valued
  names=(${(f)"$($program manual --names ${@[-2]} ${site/#\~\//$HOME/} 2>/dev/null)"})
  plain=(${names:#*=}) valued=(${(M)names:#*=})
  compadd "${@[1,-3]}" -a plain
  compadd "${@[1,-3]}" -S '' -a valued
}

)sh";

/// A text inside the brackets or between the colons of a specification.
std::string escaped(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c == '[' || c == ']' || c == ':' || c == '\\') out += '\\';
    out += c;
  }
  return out;
}

/// ":message:action" of what is typed.
std::string action(const OutlinedWord& word, const std::string& name, std::size_t site_place) {
  const std::string message = ":" + escaped(word.value) + ":";
  switch (word.takes) {
    case Takes::kNothing: return "";
    case Takes::kText: return message + " ";
    case Takes::kChoice: return message + "(" + spaced(word.choices) + ")";
    case Takes::kSite:
    case Takes::kJsonFile: return message + "_files -g \"*.json\"";
    case Takes::kFile: return message + "_files";
    case Takes::kProp:
    case Takes::kPattern:
    case Takes::kFault:
      return message + "_" + name + "_names " + names_asked(word.takes) + ' ' +
             std::to_string(site_place);
  }
  return "";
}

void add_option(std::string& out, const OutlinedWord& option, const std::string& rest,
                const char* indent) {
  std::vector<std::string> not_with = option.excludes;
  if (!option.repeats) not_with.insert(not_with.end(), option.names.begin(), option.names.end());
  const std::string group = not_with.empty() ? "" : "(" + spaced(not_with) + ")";
  for (const auto& name : option.names) {
    const bool equals = option.takes != Takes::kNothing && name.starts_with("--");
    out += indent +
           shell_quoted(group + (option.repeats ? "*" : "") + name + (equals ? "=" : "") + "[" +
                        escaped(option.about) + "]" + rest) +
           " \\\n";
  }
}

void add_command(std::string& out, const OutlinedCommand& command, const std::string& name) {
  out += "        " + command.name + ")\n          _arguments \\\n";
  const std::size_t site = command.site_place();
  for (const OutlinedWord& option : command.options) {
    add_option(out, option, action(option, name, site), "            ");
  }
  for (std::size_t i = 0; i < command.positionals.size(); ++i) {
    const OutlinedWord& word = command.positionals[i];
    out += "            " +
           shell_quoted(std::to_string(i + 1) + (word.required ? "" : ":") +
                        action(word, name, site)) +
           " \\\n";
  }
  out.replace(out.size() - 3, 3, "\n          ;;\n");
}

}  // namespace

std::string zsh_completion(const Outline& outline) {
  const std::string& name = outline.self.name;
  std::string head = kHead;
  head.replace(head.find("NAME"), 4, name);
  std::string out = "#compdef " + name + "\n# zsh completion for " + name + ", made by `" + name +
                    " manual --as zsh`.\n" + head + "_" + name +
                    "() {\n"
                    "  local curcontext=$curcontext program=${${(Q)words[1]}/#\\~\\//$HOME/}\n"
                    "  local state line\n"
                    "  typeset -A opt_args\n"
                    "  _arguments -C \\\n";
  for (const OutlinedWord& option : outline.self.options) {
    add_option(out, option, action(option, name, 0), "    ");
  }
  out +=
      "    '1: :->command' '*:: :->rest'\n"
      "  case $state in\n"
      "    command)\n"
      "      local -a commands=(\n";
  for (const OutlinedCommand& command : outline.commands) {
    out += "        " + shell_quoted(command.name + ":" + command.about) + "\n";
  }
  out +=
      "      )\n"
      "      _describe command commands\n"
      "      ;;\n"
      "    rest)\n"
      "      case $words[1] in\n";
  for (const OutlinedCommand& command : outline.commands) add_command(out, command, name);
  return out +
         "      esac\n"
         "      ;;\n"
         "  esac\n"
         "}\n\n"
         "if [[ $zsh_eval_context[-1] == loadautofunc ]]; then\n"
         "  _" +
         name +
         " \"$@\"\n"
         "else\n"
         "  compdef _" +
         name + " " + name + "\nfi\n";
}

}  // namespace panewalk::cli
