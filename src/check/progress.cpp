#include "check/progress.hpp"

namespace panewalk::check {

const char* to_text(Progress progress) {
  switch (progress) {
    case Progress::kNotBegun: return "not begun";
    case Progress::kOpen: return "open";
    case Progress::kDone: return "done";
  }
  return "";
}

void check_note(std::string_view note, base::Problems& problems) {
  if (note.size() <= kLongestNote) return;
  problems.push_back({.where = "/note",
                      .what = "a note of " + std::to_string(note.size()) + " bytes",
                      .remedy = "at most " + std::to_string(kLongestNote)});
}

std::string noted(const std::string& note) {
  return note.empty() ? std::string{} : " You noted: " + base::quoted(note, kLongestNote) + '.';
}

}  // namespace panewalk::check
