#include "cli/command_line.hpp"

#include <algorithm>
#include <ostream>

#include "base/nearest.hpp"
#include "base/problem.hpp"
#include "cli/option_words.hpp"

namespace panewalk::cli {
namespace {

constexpr const char* kAbout =
    "Panewalk checks pixel props: where each pixel sits, in which order the data visits it,\n"
    "and whether the real thing agrees.";
constexpr const char* kFooter =
    "First steps, with no hardware:\n"
    "  panewalk validate config/boathouse.json\n"
    "  panewalk map config/boathouse.json slip-window\n"
    "  panewalk light config/boathouse.json slip-window chase --practice\n"
    "\nExit status: 0 done, 1 failed while running, 2 wrong usage, 3 the input has faults.";

std::vector<std::string> command_names() {
  std::vector<std::string> names;
  for (const Command& command : commands()) names.emplace_back(command.name);
  return names;
}

/// Or an option, which the parser knows better.
bool is_command(const std::string& word) {
  const auto names = command_names();
  return word.rfind('-', 0) == 0 || std::find(names.begin(), names.end(), word) != names.end();
}

}  // namespace

const std::vector<Command>& commands() {
  static const std::vector<Command> all{
      {"validate", "Read everything; print every problem with file, place and remedy",
       declare_validate},
      {"map", "Print where each pixel sits and on which channel it is", declare_map},
      {"wire", "Find the route with the fewest splices, with the bound that proves it",
       declare_wire},
      {"power", "Print currents, the lowest voltage and where, level limit and fuses",
       declare_power},
      {"sheet", "Write the workbench sheet of a prop: one HTML file that prints well",
       declare_sheet},
      {"light", "Stream one pattern from the terminal, then go dark", declare_light},
      {"find", "Ask what is seen, and name the fault", declare_find},
      {"serve", "Run the daemon with its API; sends nothing until light is asked for",
       declare_serve},
      {"scan", "Listen to the network: who else is there, and who sends what", declare_scan},
      {"demo", "Walk one prop through the core patterns in the practice yard", declare_demo},
      {"logbook", "Print what was checked, what was seen and what was found, newest last",
       declare_logbook},
      {"manual", "Print the manual as text or a man page, or completion for a shell",
       declare_manual},
  };
  return all;
}

CommandLine::CommandLine() : app_{kAbout, "panewalk"} {
  app_.require_subcommand(1);
  app_.footer(kFooter);
  app_.set_version_flag("--version", "panewalk " PANEWALK_VERSION);
  for (const Command& command : commands()) {
    CLI::App& to = *app_.add_subcommand(command.name, command.about);
    runs_.push_back(command.declare(to));
    for (CLI::Option* option : to.get_options()) {
      if (option->get_positional()) option->type_name("");  // its name says it
    }
  }
}

int CommandLine::run(int argc, const char* const* argv, Console& console) {
  if (argc < 2) {
    console.err << "say what to do: " << base::listed(command_names(), "or")
                << "; `panewalk help` tells more\n";
    return kUsage;
  }
  if (std::string{argv[1]} == "help") {
    console.out << app_.help();
    return kDone;
  }
  if (!is_command(argv[1])) {
    console.err << "no command is named " << base::quoted(argv[1]) << "; "
                << base::name_hint(argv[1], command_names()) << '\n';
    return kUsage;
  }
  try {
    app_.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    const bool wrong = error.get_exit_code() != 0;
    app_.exit(error, console.out, console.err);
    return wrong ? kUsage : kDone;
  }
  for (std::size_t i = 0; i < runs_.size(); ++i) {
    if (app_.got_subcommand(commands()[i].name)) return runs_[i](console);
  }
  return kUsage;
}

void add_site(CLI::App& to, std::string& site) {
  to.add_option("SITE", site, "the site file")->required();
}

void add_text_form(CLI::App& to, std::string& form) {
  to.add_option("--as", form, "how to print it")
      ->type_name("FORM")
      ->check(CLI::IsMember({"text", "json"}))
      ->capture_default_str();
}

CLI::Option* add_percent(CLI::App& to, std::string& level, const char* about) {
  return to.add_option("--level", level, about)
      ->check(check_percent)
      ->type_name("PERCENT")
      ->capture_default_str();
}

CLI::Option* add_practice(CLI::App& to, bool& practice, const char* about) {
  return to.add_flag("--practice", practice, about);
}

CLI::Option* add_faults(CLI::App& to, std::vector<std::string>& faults) {
  return to
      .add_option("--fault", faults,
                  "something wrong with a prop in practice, such as slip-window:data-open=17; "
                  "more than once")
      ->type_name("PROP:FAULT[=VALUE]")
      ->allow_extra_args(false);
}

int run(int argc, const char* const* argv, Console& console) {
  return CommandLine{}.run(argc, argv, console);
}

}  // namespace panewalk::cli
