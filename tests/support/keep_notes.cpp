// keep_notes LOGBOOK SITE: adds an entry for each line of standard input. Once add() has returned
// it prints the entry's number, or the problem after "! ". The line "walk" begins a walk of three
// props; any other is the note to a step of the bench.
#include <iostream>
#include <string>

#include "base/problem.hpp"
#include "logbook/logbook.hpp"

namespace {

using namespace panewalk;

void tell(const base::Problems& problems) {
  for (const auto& problem : problems) std::cout << "! " << base::to_line(problem) << '\n';
  std::cout << std::flush;
}

check::Event event_of(const std::string& line) {
  if (line == "walk") {
    return check::WalkBegun{check::WalkBy::kOrder, {"slip-window", "gable-line", "hoist-ring"}};
  }
  return check::BenchAnswered{1, "slip-window", "ruler", check::Answer::kYes, line};
}

}  // namespace

int main(int count, char** arguments) {
  if (count != 3) return 2;
  const auto book = logbook::Logbook::open(arguments[1]);
  if (!book) {
    tell(book.error());
    return 1;
  }
  std::int64_t at = 1'795'626'501;
  for (std::string line; std::getline(std::cin, line);) {
    const auto entry = book.value()->add(arguments[2], event_of(line), at++);
    if (entry) {
      std::cout << entry.value().number << std::endl;
    } else {
      tell(entry.error());
    }
  }
  return 0;
}
