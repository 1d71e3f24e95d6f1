#include <fcntl.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <cstdlib>
#include <exception>
#include <iostream>

#include "cli/commands.hpp"

namespace {

panewalk::cli::Console console_of_this_process() {
  panewalk::cli::Console console{.out = std::cout, .err = std::cerr};
  console.out_is_terminal = isatty(STDOUT_FILENO) == 1;
  console.err_is_terminal = isatty(STDERR_FILENO) == 1;
  console.in_is_terminal = isatty(STDIN_FILENO) == 1;
  const int controlling = open("/dev/tty", O_RDONLY | O_NOCTTY | O_CLOEXEC);
  console.has_terminal = controlling >= 0;
  if (controlling >= 0) close(controlling);
  // no-color.org: set and not empty.
  const char* no_colour = std::getenv("NO_COLOR");
  console.colour = console.out_is_terminal && (no_colour == nullptr || *no_colour == '\0');
  winsize size{};
  if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0 && size.ws_row > 0) {
    console.columns = size.ws_col;
    console.rows = size.ws_row;
  }
  return console;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    panewalk::cli::Console console = console_of_this_process();
    return panewalk::cli::run(argc, argv, console);
  } catch (const std::exception& error) {
    std::cerr << "panewalk: " << error.what() << '\n';
    return panewalk::cli::kFailed;
  }
}
