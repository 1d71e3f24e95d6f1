#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "check/entry.hpp"
#include "check/progress.hpp"
#include "engine/plan.hpp"

namespace panewalk::check {

/// One look at a prop on the bench. Its question is answered by yes where the prop is as drawn.
struct BenchStep {
  std::string step;  ///< "first-pixel"
  std::string title;
  std::string pattern;
  std::optional<std::string> region;  ///< of the pattern; none: the whole prop
  std::optional<int> beat;            ///< of the pattern, from 1; none: it runs by itself
  light::Level level;                 ///< asked; the prop's cap and the supply hold it down
  std::string look_for;
  std::string question;
  std::vector<std::string> cautions;   ///< to be confirmed before it is lit
  std::optional<std::string> why_not;  ///< why it can tell nothing here and is not asked
  [[nodiscard]] bool fits() const { return !why_not; }
};

/// All steps in the order in which they are asked, those that don't fit the prop included.
std::vector<BenchStep> bench_steps(const engine::Plan& plan, std::size_t prop);

struct BenchStepState {
  BenchStep asked;
  std::optional<Answer> answer;
  std::string note;
  std::optional<std::int64_t> at;  ///< of the answer, seconds since 1970
};

struct BenchState {
  std::string prop;
  std::optional<EntryNumber> check;  ///< the newest BenchBegun
  Progress progress = Progress::kNotBegun;
  std::optional<std::int64_t> begun_at;
  std::vector<BenchStepState> steps;
  std::optional<std::string> next;   ///< the first step that is asked and has no answer
  std::vector<std::string> differs;  ///< one sentence a step that was answered no or unsure
};

/// Where the check of a prop stands. `entries` are the logbook's by number; those of another site,
/// prop or check, and of steps that are not known, count for nothing.
BenchState bench_state(const engine::Plan& plan, std::size_t prop,
                       const std::vector<Entry>& entries);

/// A new check, with every question open again.
Event begin_bench(const engine::Plan& plan, std::size_t prop);

/// What to write into the logbook for an answer. Pointers of problems are those of the API's body.
base::Result<Event, Refusal> answer_bench(const BenchState& state, EntryNumber check,
                                          const std::string& step, Answer answer,
                                          const std::string& note);

}  // namespace panewalk::check
