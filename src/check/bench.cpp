#include "check/bench.hpp"

#include <algorithm>

#include "base/nearest.hpp"

namespace panewalk::check {
namespace {

/// What "no" to a step's question says about the prop.
std::string difference(const std::string& step) {
  if (step == "first-pixel")
    return "the first pixel is not where the drawing has it, or stays dark";
  if (step == "colour-order") return "colours come in another order, or some pixels lack one";
  if (step == "ruler") return "the wire has another count of lit pixels than the drawing";
  if (step == "runs") return "the runs don't begin and end where the drawing has them";
  if (step == "jump-ends") return "a jump or hop does not lead where the drawing has it";
  if (step == "corners") return "the corners are not where they should be";
  if (step == "centre-cross") return "the middle is not in the middle";
  if (step == "panes") return "an opening is not lit all round, or more than it is lit";
  if (step == "slope") return "a run is fed from its other end, or does not grow evenly";
  return "the far end is not as white as the first pixel, or something blinks or gets warm";
}

std::string sentence(const BenchStepState& state) {
  const std::string what = *state.answer == Answer::kUnsure ? "you were not sure; look once more"
                                                            : difference(state.asked.step);
  return state.asked.title + ": " + what + '.' + noted(state.note);
}

void take(BenchState& state, const Entry& entry, const BenchAnswered& answered) {
  if (answered.check != state.check) return;
  const auto step = std::find_if(
      state.steps.begin(), state.steps.end(),
      [&answered](const BenchStepState& each) { return each.asked.step == answered.step; });
  if (step == state.steps.end()) return;
  step->answer = answered.answer;
  step->note = answered.note;
  step->at = entry.at;
}

void begin_again(BenchState& state, const Entry& entry) {
  state.check = entry.number;
  state.begun_at = entry.at;
  for (BenchStepState& step : state.steps) {
    step.answer.reset();
    step.note.clear();
    step.at.reset();
  }
}

}  // namespace

BenchState bench_state(const engine::Plan& plan, std::size_t prop,
                       const std::vector<Entry>& entries) {
  BenchState state;
  state.prop = plan.props[prop]->name;
  for (BenchStep& step : bench_steps(plan, prop)) {
    state.steps.push_back({.asked = std::move(step), .answer = {}, .note = {}, .at = {}});
  }
  for (const Entry& entry : entries) {
    if (entry.site != plan.site) continue;
    if (const auto* begun = std::get_if<BenchBegun>(&entry.event)) {
      if (begun->prop == state.prop) begin_again(state, entry);
    } else if (const auto* answered = std::get_if<BenchAnswered>(&entry.event)) {
      if (answered->prop == state.prop) take(state, entry, *answered);
    }
  }
  for (const BenchStepState& step : state.steps) {
    if (!step.answer && step.asked.fits() && !state.next) state.next = step.asked.step;
    if (step.answer == Answer::kNo || step.answer == Answer::kUnsure) {
      state.differs.push_back(sentence(step));
    }
  }
  if (!state.check) {
    state.next.reset();
  } else {
    state.progress = state.next ? Progress::kOpen : Progress::kDone;
  }
  return state;
}

Event begin_bench(const engine::Plan& plan, std::size_t prop) {
  return BenchBegun{.prop = plan.props[prop]->name};
}

base::Result<Event, Refusal> answer_bench(const BenchState& state, EntryNumber check,
                                          const std::string& step, Answer answer,
                                          const std::string& note) {
  Refusal refusal;
  if (check != state.check) {
    refusal.stale = true;
    refusal.problems.push_back(
        {.where = "/check",
         .what = state.check
                     ? "check " + std::to_string(check) + " of " + state.prop +
                           " is not the newest one; the newest is " + std::to_string(*state.check)
                     : "no check of " + state.prop + " was begun",
         .remedy = state.check ? "somebody began again; read the check anew" : "begin one"});
    return refusal;
  }
  const auto found =
      std::find_if(state.steps.begin(), state.steps.end(),
                   [&step](const BenchStepState& each) { return each.asked.step == step; });
  if (found == state.steps.end()) {
    std::vector<std::string> known;
    for (const BenchStepState& each : state.steps) known.push_back(each.asked.step);
    refusal.problems.push_back({.where = "/step",
                                .what = "no step is named " + base::quoted(step),
                                .remedy = base::name_hint(step, known)});
  } else if (!found->asked.fits()) {
    refusal.problems.push_back(
        {.where = "/step",
         .what = step + " is not asked of " + state.prop + ": " + *found->asked.why_not,
         .remedy = "answer the steps that fit"});
  }
  check_note(note, refusal.problems);
  if (!refusal.problems.empty()) return refusal;
  return Event{BenchAnswered{
      .check = check, .prop = state.prop, .step = step, .answer = answer, .note = note}};
}

}  // namespace panewalk::check
