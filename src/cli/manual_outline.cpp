#include "cli/manual_outline.hpp"

#include <CLI/CLI.hpp>
#include <sstream>

namespace panewalk::cli {
namespace {

Takes takes_of(const OutlinedWord& word) {
  if (word.value.empty()) return Takes::kNothing;
  if (!word.choices.empty()) return Takes::kChoice;
  if (word.value == "SITE") return Takes::kSite;
  if (word.value == "PROPFILE") return Takes::kJsonFile;
  if (word.value == "FILE") return Takes::kFile;
  if (word.value == "PROP") return Takes::kProp;
  if (word.value == "PATTERN") return Takes::kPattern;
  return word.value.starts_with("PROP:FAULT") ? Takes::kFault : Takes::kText;
}

std::vector<std::string> parted(const std::string& text) {
  std::vector<std::string> parts;
  std::istringstream in{text};
  for (std::string part; std::getline(in, part, ',');) parts.push_back(part);
  return parts;
}

/// CLI11's type, "TEXT:{a,b}" or "FLOAT:FLOAT in [0.1 - 60]", into what it is made of.
void take_type(const std::string& type, OutlinedWord& word) {
  word.value = type;
  if (const auto choices = type.find(":{"); choices != std::string::npos) {
    word.value = type.substr(0, choices);
    word.choices = parted(type.substr(choices + 2, type.rfind('}') - choices - 2));
  }
  if (const auto range = type.find(" in ["); range != std::string::npos) {
    word.value = type.substr(0, type.find(':'));
    word.range = type.substr(range + 5, type.rfind(']') - range - 5);
    word.range.replace(word.range.find(" - "), 3, " to ");
  }
  if (word.value == "INT" || word.value == "UINT" || word.value == "FLOAT") word.value = "NUMBER";
}

std::vector<std::string> names_of(const std::set<CLI::Option*>& options) {
  std::vector<std::string> names;
  for (const CLI::Option* option : options) names.push_back(option->get_name());
  std::sort(names.begin(), names.end());
  return names;
}

OutlinedWord word_of(const CLI::Option& option) {
  OutlinedWord word;
  for (const auto& name : option.get_snames()) word.names.push_back("-" + name);
  for (const auto& name : option.get_lnames()) word.names.push_back("--" + name);
  word.about = option.get_description();
  if (option.get_type_size() != 0) {
    take_type(option.get_type_name(), word);
    word.preset = option.get_default_str();
    word.repeats = option.get_expected_max() == CLI::detail::expected_max_vector_size;
  }
  if (option.get_positional()) {
    word.names = {option.get_name()};
    word.value = option.get_name();
  }
  word.required = option.get_required();
  word.needs = names_of(option.get_needs());
  word.excludes = names_of(option.get_excludes());
  word.takes = takes_of(word);
  return word;
}

OutlinedCommand command_of(const CLI::App& app) {
  OutlinedCommand command{.name = app.get_name(),
                          .about = app.get_description(),
                          .footer = app.get_footer(),
                          .positionals = {},
                          .options = {}};
  for (const CLI::Option* option : app.get_options()) {
    if (option->get_group().empty()) continue;
    OutlinedWord word = word_of(*option);
    word.is_help = option == app.get_help_ptr();
    (option->get_positional() ? command.positionals : command.options).push_back(std::move(word));
  }
  return command;
}

}  // namespace

std::size_t OutlinedCommand::site_place() const {
  for (std::size_t i = 0; i < positionals.size(); ++i) {
    if (positionals[i].takes == Takes::kSite) return i + 1;
  }
  return 0;
}

Outline outline(const CLI::App& app) {
  Outline all{.self = command_of(app), .commands = {}};
  for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
    if (command->get_group().empty()) continue;
    all.commands.push_back(command_of(*command));
    // CLI11 gives a command without a footer its parent's.
    if (all.commands.back().footer == all.self.footer) all.commands.back().footer.clear();
  }
  return all;
}

}  // namespace panewalk::cli
