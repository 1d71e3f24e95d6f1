#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "cli/commands.hpp"

namespace panewalk::cli {

/// Does what was typed after a command's name.
using Run = std::function<Exit(Console&)>;

/// A command of the command line: `declare` adds its positionals and options to `to` and gives what
/// is run once they are read. --help, the man page and the completions are made from what it adds;
/// what a shell completes is told by the name of a positional or the type_name of an option (see
/// Takes).
struct Command {
  const char* name;
  const char* about;
  Run (*declare)(CLI::App& to);
};

/// Every command, in the order of --help.
const std::vector<Command>& commands();

/// All that the command line can say.
class CommandLine {
 public:
  CommandLine();

  /// Reads the words and runs the command among them; gives the exit status.
  int run(int argc, const char* const* argv, Console& console);

  [[nodiscard]] const CLI::App& app() const { return app_; }

 private:
  CLI::App app_;
  std::vector<Run> runs_;  ///< one for each of commands()
};

// command_line_print.cpp: these only print or write a file.
Run declare_validate(CLI::App& to);
Run declare_map(CLI::App& to);
Run declare_wire(CLI::App& to);
Run declare_power(CLI::App& to);
Run declare_sheet(CLI::App& to);
Run declare_logbook(CLI::App& to);
// command_line_run.cpp: these have to do with light or the network.
Run declare_light(CLI::App& to);
Run declare_find(CLI::App& to);
Run declare_serve(CLI::App& to);
Run declare_scan(CLI::App& to);
Run declare_demo(CLI::App& to);
// manual.cpp
Run declare_manual(CLI::App& to);

/// What a command was asked, which outlives its declaration, and what its options fill that has
/// still to be read.
template <typename Asked, typename Typed>
struct Heard {
  Asked asked;
  Typed typed;
};

// Options that several commands have.
void add_site(CLI::App& to, std::string& site);
void add_text_form(CLI::App& to, std::string& form);
CLI::Option* add_percent(CLI::App& to, std::string& level, const char* about);
/// `about`: where the light goes.
CLI::Option* add_practice(CLI::App& to, bool& practice, const char* about);
CLI::Option* add_faults(CLI::App& to, std::vector<std::string>& faults);

}  // namespace panewalk::cli
