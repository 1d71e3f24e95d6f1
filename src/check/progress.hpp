#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "base/problem.hpp"

namespace panewalk::check {

/// How far a check has come. Done: every question that is asked has an answer.
enum class Progress { kNotBegun, kOpen, kDone };
/// "not begun", "open", "done".
const char* to_text(Progress progress);

/// Why an answer is not taken.
struct Refusal {
  /// It belongs to a check that is not the newest one: another device began again.
  bool stale = false;
  base::Problems problems;  ///< never empty
};

/// Bytes of a note.
inline constexpr std::size_t kLongestNote = 2000;

/// Reports a note that is too long.
void check_note(std::string_view note, base::Problems& problems);

/// ` You noted: "…".`, or "" without a note.
std::string noted(const std::string& note);

}  // namespace panewalk::check
