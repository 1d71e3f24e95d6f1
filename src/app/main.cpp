#include <fcntl.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <exception>
#include <iostream>
#include <new>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/journal.hpp"
#include "io/environment.hpp"

namespace {

namespace cli = panewalk::cli;
namespace io = panewalk::io;

/// A stream of this process; each of its lines has a level where it leads to the journal.
class OwnStream {
 public:
  OwnStream(std::ostream& stream, int descriptor, cli::LogLevel usual)
      : journal_{*stream.rdbuf(), usual},
        levelled_{&journal_},
        used_{cli::is_journal(descriptor, io::variable("JOURNAL_STREAM").value_or("")) ? levelled_
                                                                                       : stream} {}
  OwnStream(const OwnStream&) = delete;
  OwnStream& operator=(const OwnStream&) = delete;

  std::ostream& operator*() { return used_; }

 private:
  cli::JournalBuffer journal_;
  std::ostream levelled_;
  std::ostream& used_;
};

bool is_file(int descriptor) {
  struct stat status {};
  return fstat(descriptor, &status) == 0 && S_ISREG(status.st_mode);
}

cli::Console console_of_this_process(std::ostream& out, std::ostream& err) {
  cli::Console console{.out = out, .err = err};
  console.out_is_terminal = isatty(STDOUT_FILENO) == 1;
  console.err_is_terminal = isatty(STDERR_FILENO) == 1;
  console.out_is_file = is_file(STDOUT_FILENO);
  console.err_is_file = is_file(STDERR_FILENO);
  console.in_is_terminal = isatty(STDIN_FILENO) == 1;
  const int controlling = open("/dev/tty", O_RDONLY | O_NOCTTY | O_CLOEXEC);
  console.has_terminal = controlling >= 0;
  if (controlling >= 0) close(controlling);
  // no-color.org: set and not empty.
  console.colour = console.out_is_terminal && !io::variable("NO_COLOR");
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
    OwnStream out{std::cout, STDOUT_FILENO, cli::LogLevel::kInfo};
    OwnStream err{std::cerr, STDERR_FILENO, cli::LogLevel::kError};
    cli::Console console = console_of_this_process(*out, *err);
    return cli::run(argc, argv, console);
  } catch (const std::bad_alloc&) {
    std::cerr << "panewalk: this machine has no memory left for it\n";
    return cli::kFailed;
  } catch (const std::exception& error) {
    std::cerr << "panewalk: " << error.what() << '\n';
    return cli::kFailed;
  }
}
