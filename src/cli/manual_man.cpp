#include <algorithm>
#include <cctype>
#include <sstream>

#include "cli/manual.hpp"
#include "cli/wrapped.hpp"

namespace panewalk::cli {
namespace {

/// mandoc finds lines of more than 80 bytes too long; escapes take some.
constexpr int kColumns = 72;
constexpr std::string_view kExitStatus = "Exit status: ";

/// A word of running text, which must not read as an instruction.
std::string escaped(std::string_view word, bool at_start) {
  std::string out;
  if (at_start && (word.starts_with('.') || word.starts_with('\''))) out = "\\&";
  for (std::size_t i = 0; i < word.size(); ++i) {
    const bool of_option = word[i] == '-' && (i == 0 || word[i - 1] == ' ' || word[i - 1] == '-');
    if (word[i] == '\\') {
      out += "\\e";
    } else {
      out += of_option ? "\\-" : std::string(1, word[i]);
    }
  }
  return out;
}

/// What a macro gets as one word; a name of a macro would be called.
std::string argument(const std::string& word) {
  const bool is_macro = word.size() >= 2 && word.size() <= 3 && std::isupper(word[0]) != 0 &&
                        std::islower(word[1]) != 0;
  std::string out = is_macro ? "\\&" : "";
  for (const char c : word) {
    if (c == '\\') {
      out += "\\e";
    } else if (c == '"') {
      out += "\\(dq";
    } else {
      out += c == ' ' ? std::string{"\\ "} : std::string(1, c);
    }
  }
  return out;
}

/// Running text: each sentence begins a line, as troff wants it.
std::string filled(const std::string& text) {
  std::string out;
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t end = std::min(text.find(". ", from), text.size());
    std::istringstream lines{wrapped(text.substr(from, end + 1 - from), kColumns)};
    for (std::string line; std::getline(lines, line);) out += escaped(line, true) + "\n";
    from = end + 2;
  }
  return out;
}

std::string literal(const std::string& lines) {
  std::string out = ".Bd -literal -offset indent\n";
  std::istringstream in{lines};
  for (std::string line; std::getline(in, line);) {
    std::string kept = escaped(line, true);
    for (std::size_t at = 0; (at = kept.find('\'', at)) != std::string::npos; at += 4) {
      kept.replace(at, 1, "\\(aq");
    }
    out += kept + "\n";
  }
  return out + ".Ed\n";
}

/// A footer of --help: lines that are set in by two blanks are kept, the others flow.
std::string paragraphs(const std::string& footer, bool after_space) {
  std::string out, flowing, kept;
  bool needs_space = !after_space;
  const auto flush = [&] {
    if (!flowing.empty()) out += (needs_space ? ".Pp\n" : "") + filled(flowing);
    if (!kept.empty()) out += literal(kept);
    needs_space = true;
    flowing.clear();
    kept.clear();
  };
  std::istringstream in{footer};
  for (std::string line; std::getline(in, line);) {
    if (line.starts_with("  ")) {
      if (!flowing.empty()) flush();
      kept += line.substr(2) + "\n";
    } else if (line.empty()) {
      if (!flowing.empty() || !kept.empty()) flush();
    } else {
      if (!kept.empty()) flush();
      flowing += (flowing.empty() ? "" : " ") + line;
    }
  }
  flush();
  return out;
}

std::string sentence(std::string text) {
  if (text.empty()) return text;
  text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
  if (text.back() != '.') text += '.';
  return text;
}

/// " Cm a | b" or " Ar PROP" behind an option.
std::string value_of(const OutlinedWord& word) {
  if (word.choices.empty()) return word.value.empty() ? "" : " Ar " + argument(word.value);
  std::string out = " Cm";
  for (const auto& choice : word.choices) {
    out += (choice == word.choices.front() ? " " : " | ") + argument(choice);
  }
  return out;
}

/// "Fl h , Fl -help": mdoc's Fl brings the first dash.
std::string flags_of(const OutlinedWord& word) {
  std::string out;
  for (const auto& name : word.names) {
    out += (out.empty() ? "Fl " : " , Fl ") + name.substr(1);
  }
  return out;
}

std::string listed(const std::vector<std::string>& names) {
  std::string out;
  for (const auto& name : names) out += (out.empty() ? "" : " and ") + name;
  return out;
}

std::string said_of(const OutlinedWord& word, bool is_option) {
  std::string about = sentence(word.about);
  if (!word.range.empty()) about += " From " + word.range + ".";
  if (!word.preset.empty()) about += " Without it: " + word.preset + ".";
  if (word.required && is_option) about += " Required.";
  if (!word.required && !is_option) about += " May be left out.";
  if (!word.needs.empty()) about += " Only with " + listed(word.needs) + ".";
  if (!word.excludes.empty()) about += " Not with " + listed(word.excludes) + ".";
  return filled(about);
}

std::string list_of(const OutlinedCommand& command, bool with_help) {
  std::string items;
  for (const OutlinedWord& word : command.positionals) {
    items += ".It Ar " + argument(word.value) + "\n" + said_of(word, false);
  }
  for (const OutlinedWord& option : command.options) {
    if (option.is_help && !with_help) continue;
    items += ".It " + flags_of(option) + value_of(option) + "\n" + said_of(option, true);
  }
  return items.empty() ? "" : ".Bl -tag -width Ds\n" + items + ".El\n";
}

std::string synopsis_of(const OutlinedCommand& command) {
  std::string out = ".Nm\n.Cm " + argument(command.name) + "\n";
  bool has_more = false;
  for (const OutlinedWord& option : command.options) {
    if (option.required) out += "." + flags_of(option) + value_of(option) + "\n";
    has_more = has_more || !(option.required || option.is_help);
  }
  if (has_more) out += ".Op Ar options\n";
  for (const OutlinedWord& word : command.positionals) {
    out += (word.required ? ".Ar " : ".Op Ar ") + argument(word.value) + "\n";
  }
  return out;
}

/// "Exit status: 0 done, 1 failed." as a list.
std::string exit_status(std::string_view footer) {
  const auto at = footer.find(kExitStatus);
  if (at == std::string_view::npos) return "";
  std::string rest{footer.substr(at + kExitStatus.size())};
  rest.resize(std::min(rest.find_first_of(".\n"), rest.size()));
  std::string out = ".Sh EXIT STATUS\n.Bl -tag -width Ds\n";
  std::istringstream in{rest};
  for (std::string part; std::getline(in, part, ',');) {
    part.erase(0, part.find_first_not_of(' '));
    const std::size_t blank = std::min(part.find(' '), part.size() - 1);
    out += ".It " + part.substr(0, blank) + "\n" + filled(sentence(part.substr(blank + 1)));
  }
  return out + ".El\n";
}

std::string examples(const std::string& footer) {
  const std::string text = footer.substr(0, footer.find(kExitStatus));
  return text.empty() ? "" : ".Sh EXAMPLES\n" + paragraphs(text, true);
}

/// "Panewalk checks props." as what stands behind the name of the program.
std::string one_line(const OutlinedCommand& self) {
  std::string about = self.about;
  std::replace(about.begin(), about.end(), '\n', ' ');
  if (!about.empty() && about.back() == '.') about.pop_back();
  const std::size_t blank = about.find(' ');
  return blank != std::string::npos && blank == self.name.size() ? about.substr(blank + 1) : about;
}

}  // namespace

std::string man_page(const Outline& outline, const ManualWords& words) {
  const OutlinedCommand& self = outline.self;
  std::string title = self.name;
  for (char& c : title) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  std::string out = ".\\\" Made by `" + self.name + " manual --as man`.\n.Dd " + words.date +
                    "\n.Dt " + title + " 1\n.Os\n.nh\n.Sh NAME\n.Nm " + self.name + "\n.Nd " +
                    one_line(self) + "\n.Sh SYNOPSIS\n";
  for (const OutlinedWord& option : self.options) out += ".Nm\n." + flags_of(option) + "\n";
  for (const OutlinedCommand& command : outline.commands) out += synopsis_of(command);
  std::string about = self.about;
  std::replace(about.begin(), about.end(), '\n', ' ');
  out += ".Sh DESCRIPTION\n" + filled(about + " This is version " + words.version + ".") +
         list_of(self, true) + ".Sh COMMANDS\n";
  for (const OutlinedCommand& command : outline.commands) {
    const std::string list = list_of(command, false);
    out += ".Ss " + argument(command.name) + "\n" + filled(sentence(command.about)) + list +
           paragraphs(command.footer, false);
  }
  return out + words.before + exit_status(self.footer) + examples(self.footer) + words.after;
}

}  // namespace panewalk::cli
