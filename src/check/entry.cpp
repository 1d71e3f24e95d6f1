#include "check/entry.hpp"

#include <algorithm>

namespace panewalk::check {
namespace {

bool is_line_or_empty(const std::string& text) {
  return text.size() <= kLongestFindText && std::none_of(text.begin(), text.end(), [](char byte) {
           return static_cast<unsigned char>(byte) < 0x20 || byte == 0x7f;
         });
}
bool is_line(const std::string& text) { return !text.empty() && is_line_or_empty(text); }

struct KeepsBounds {
  template <class Other>
  bool operator()(const Other&) const {
    return true;
  }
  bool operator()(const FindBegun& begun) const {
    return is_line_or_empty(begun.from) && is_line_or_empty(begun.described);
  }
  bool operator()(const FindAnswered& answered) const {
    return answered.find >= 1 && answered.question >= 1 && is_line(answered.asked) &&
           is_line(answered.answer);
  }
  bool operator()(const FindConcluded& finding) const {
    return finding.find >= 1 && is_line(finding.fault) && is_line_or_empty(finding.second) &&
           is_line_or_empty(finding.station) && finding.index >= 0 && finding.certainty >= 0 &&
           finding.certainty <= 1000 && is_line_or_empty(finding.also_possible) &&
           finding.questions >= 0;
  }
  bool operator()(const FindRepaired& repaired) const {
    return repaired.find >= 1 && is_line_or_empty(repaired.fault) &&
           (repaired.repair == Repair::kWasAnother || repaired.fault.empty());
  }
};

}  // namespace

bool is_within_bounds(const Event& event) { return std::visit(KeepsBounds{}, event); }

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

const char* to_text(FindPlace place) {
  switch (place) {
    case FindPlace::kBench: return "bench";
    case FindPlace::kYard: return "yard";
  }
  return "";
}

const char* to_text(Repair repair) {
  switch (repair) {
    case Repair::kMended: return "mended";
    case Repair::kNotMended: return "not mended";
    case Repair::kWasAnother: return "was another fault";
  }
  return "";
}

}  // namespace panewalk::check
