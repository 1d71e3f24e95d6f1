#include "cli/completion.hpp"

namespace panewalk::cli {
namespace {

/// What the function below does with the words typed so far; NAME is the program's.
constexpr const char* kBody = R"sh(
_NAME() {
  local cur='' command='' pending='' site='' takes='' word name i place=0 glued=''
  local -a words=()
  # Bash parts words at ":" and "=" too; only --option=value is two.
  for ((i = 1; i <= COMP_CWORD; i++)); do
    word=${COMP_WORDS[i]}
    if [[ $word == '=' && ${words[*]: -1} == --* ]]; then
      ((i < COMP_CWORD)) || words+=('')
    elif [[ $word == [:=] && ${#words[@]} -gt 0 ]]; then
      words[-1]+=$word
      glued=1
    elif [[ $glued ]]; then
      words[-1]+=$word
      glued=''
    else
      words+=("$word")
    fi
  done
  cur=${words[*]: -1}
  for word in "${words[@]:0:${#words[@]}-1}"; do
    if [[ $pending ]]; then
      pending=''
    elif [[ $word == -* ]]; then
      _NAME_takes "$command" "$word"
      [[ $takes ]] && pending=$word
    elif [[ -z $command ]]; then
      command=$word
    else
      _NAME_takes "$command" "$((++place))"
      [[ $takes == site ]] && site=$word
    fi
  done
  if [[ $pending ]]; then
    _NAME_takes "$command" "$pending"
  elif [[ $cur == -* ]]; then
    _NAME_takes "$command" options
  else
    _NAME_takes "$command" "$((place + 1))"
    [[ $takes ]] || _NAME_takes "$command" options
  fi
  COMPREPLY=()
  case $takes in
    words\ *)
      mapfile -t COMPREPLY < <(compgen -W "${takes#words }" -- "$cur")
      ;;
    site | json)
      compopt -o filenames 2>/dev/null
      mapfile -t COMPREPLY < <(compgen -f -X '!*.json' -- "$cur"; compgen -d -- "$cur")
      ;;
    file)
      compopt -o filenames 2>/dev/null
      mapfile -t COMPREPLY < <(compgen -f -- "$cur")
      ;;
    names\ *)
      site=${site//\\/}
      while read -r name; do
        [[ $name == "$cur"* ]] && COMPREPLY+=("$name")
      done < <("${COMP_WORDS[0]/#\~/$HOME}" manual --names "${takes#names }" \
        "${site/#\~/$HOME}" 2>/dev/null)
      [[ ${#COMPREPLY[@]} == 1 && ${COMPREPLY[0]} == *= ]] && compopt -o nospace 2>/dev/null
      ;;
  esac
  # What stands before a ":" is a word of its own for bash.
  if [[ $cur == *:* && $COMP_WORDBREAKS == *:* ]]; then
    COMPREPLY=("${COMPREPLY[@]#"${cur%"${cur##*:}"}"}")
  fi
}

complete -F _NAME NAME
)sh";

std::string named(std::string text, const std::string& name) {
  for (std::size_t at = 0; (at = text.find("NAME", at)) != std::string::npos; at += name.size()) {
    text.replace(at, 4, name);
  }
  return text;
}

std::string taken(const OutlinedWord& word) {
  switch (word.takes) {
    case Takes::kNothing: return "";
    case Takes::kText: return "text";
    case Takes::kChoice: return "words " + spaced(word.choices);
    case Takes::kSite: return "site";
    case Takes::kJsonFile: return "json";
    case Takes::kFile: return "file";
    case Takes::kProp:
    case Takes::kPattern:
    case Takes::kFault: return "names " + names_asked(word.takes);
  }
  return "";
}

void add_case(std::string& out, const std::string& place, const std::string& takes) {
  out += "    " + shell_quoted(place) + ") takes=" + shell_quoted(takes) + " ;;\n";
}

void add_cases(std::string& out, const std::string& command, const OutlinedCommand& has) {
  for (std::size_t i = 0; i < has.positionals.size(); ++i) {
    add_case(out, command + ' ' + std::to_string(i + 1), taken(has.positionals[i]));
  }
  for (const OutlinedWord& option : has.options) {
    if (option.takes == Takes::kNothing) continue;
    for (const auto& name : option.names) add_case(out, command + ' ' + name, taken(option));
  }
  add_case(out, command + " options", "words " + option_names(has));
}

}  // namespace

std::string bash_completion(const Outline& outline) {
  const std::string& name = outline.self.name;
  std::string out = "# bash completion for " + name + ", made by `" + name +
                    " manual --as bash`.\n\n"
                    "# What is typed behind an option of a command, or at a place behind it.\n_" +
                    name + "_takes() {\n  case \"$1 $2\" in\n";
  std::vector<std::string> commands;
  for (const OutlinedCommand& command : outline.commands) commands.push_back(command.name);
  add_case(out, " 1", "words " + spaced(commands));
  add_cases(out, "", outline.self);
  for (const OutlinedCommand& command : outline.commands) add_cases(out, command.name, command);
  return out + "    *) takes='' ;;\n  esac\n}\n" + named(kBody, name);
}

std::string shell_quoted(const std::string& text) {
  std::string out = "'";
  for (const char c : text) {
    if (c == '\'') {
      out += "'\\''";
    } else {
      out += c;
    }
  }
  return out + "'";
}

std::string names_asked(Takes takes) {
  switch (takes) {
    case Takes::kProp: return "props";
    case Takes::kPattern: return "patterns";
    case Takes::kFault: return "faults";
    default: return "";
  }
}

std::string spaced(const std::vector<std::string>& words) {
  std::string out;
  for (const auto& word : words) out += (out.empty() ? "" : " ") + word;
  return out;
}

std::string option_names(const OutlinedCommand& command) {
  std::vector<std::string> names;
  for (const OutlinedWord& option : command.options) {
    names.insert(names.end(), option.names.begin(), option.names.end());
  }
  return spaced(names);
}

}  // namespace panewalk::cli
