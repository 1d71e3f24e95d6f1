#include "cli/manual.hpp"

#include <CLI/CLI.hpp>
#include <ostream>
#include <string_view>

#include "cli/command_line.hpp"
#include "cli/completion.hpp"
#include "cli/faults.hpp"
#include "cli/load_site.hpp"
#include "practice/fault.hpp"

namespace panewalk::cli {
namespace {

struct ManualAsked {
  std::string form = "text";
  std::string names;  ///< "" for the manual
  std::string site;
};

/// --help of everything, one after the other.
std::string help_of_all(const CLI::App& app) {
  std::string out = app.help();
  for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; })) {
    out += "\n" + std::string(78, '-') + "\n\n" + command->help(app.get_name());
  }
  return out;
}

/// As --fault takes them, with "=" behind those that have a value.
std::string faults_of(const std::string& prop) {
  std::string out;
  for (const std::string& kind : practice::fault_kind_names()) {
    const bool has_value = std::string_view{kFaultWords}.find(kind + "=") != std::string_view::npos;
    out += prop + ":" + kind + (has_value ? "=" : "") + "\n";
  }
  return out + prop + ":surprise\n";
}

/// While a word is being typed nobody wants to read what is wrong with the site.
Exit print_names(const ManualAsked& asked, Console& console) {
  const auto site = site::load(asked.site, files_on_disk());
  if (!site) return kFaultyInput;
  const engine::Plan& plan = *site.value().plan;
  if (asked.names == "patterns") {
    for (const auto& pattern : plan.patterns) console.out << pattern.name << '\n';
  } else {
    for (const auto& prop : plan.props) {
      console.out << (asked.names == "faults" ? faults_of(prop->name) : prop->name + "\n");
    }
  }
  return kDone;
}

std::string manual_as(const std::string& form) {
  // A command line of its own: the one that is being read helps with `manual` alone.
  const CommandLine all;
  if (form == "text") return help_of_all(all.app());
  const Outline said = outline(all.app());
  if (form == "bash") return bash_completion(said);
  if (form == "zsh") return zsh_completion(said);
  return form == "fish" ? fish_completion(said) : man_page(said, manual_words());
}

}  // namespace

Run declare_manual(CLI::App& to) {
  auto asked = std::make_shared<ManualAsked>();
  CLI::Option* site = to.add_option("SITE", asked->site, "with --names: the site file");
  CLI::Option* form =
      to.add_option(
            "--as", asked->form,
            "text, the source of the page for man, or what bash, zsh or fish completes with")
          ->type_name("FORM")
          ->check(CLI::IsMember({"text", "man", "bash", "zsh", "fish"}))
          ->capture_default_str();
  to.add_option("--names", asked->names,
                "instead: these names out of a site, one a line; nothing where it has faults")
      ->type_name("NAMES")
      ->check(CLI::IsMember({"props", "patterns", "faults"}))
      ->needs(site)
      ->excludes(form);
  to.footer(
      "Completion in this shell: source <(panewalk manual --as bash), or zsh; in fish:\n"
      "  panewalk manual --as fish | source");
  return [asked](Console& console) {
    Exit exit = kDone;
    if (!asked->names.empty()) {
      exit = print_names(*asked, console);
    } else {
      console.out << manual_as(asked->form);
    }
    console.out.flush();
    return console.out ? exit : kFailed;
  };
}

}  // namespace panewalk::cli
