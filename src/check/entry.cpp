#include "check/entry.hpp"

namespace panewalk::check {

const char* to_text(Answer answer) {
  switch (answer) {
    case Answer::kYes: return "yes";
    case Answer::kNo: return "no";
    case Answer::kUnsure: return "unsure";
    case Answer::kSkipped: return "skipped";
  }
  return "";
}

const char* to_text(Seen seen) {
  switch (seen) {
    case Seen::kAsDrawn: return "as drawn";
    case Seen::kAnother: return "another prop";
    case Seen::kNothing: return "nothing";
    case Seen::kWrong: return "wrong";
  }
  return "";
}

const char* to_text(WalkBy by) {
  switch (by) {
    case WalkBy::kOrder: return "order";
    case WalkBy::kNearest: return "nearest";
  }
  return "";
}

}  // namespace panewalk::check
