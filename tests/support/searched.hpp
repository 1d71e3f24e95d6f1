#pragma once

#include <gtest/gtest.h>

#include <memory>
#include <string>
#include <utility>

#include "check/find.hpp"
#include "support/builder.hpp"
#include "support/check_site.hpp"

/// Searches of a small boathouse and what is written down of them.
namespace panewalk::check {

using test::Pages;

/// Small, so that its questions are soon chosen.
inline std::shared_ptr<engine::Plan> boathouse(int pixels = 12) {
  return test::plan_of({test::hung_line("gable-line", pixels, 0, 1, 1, std::nullopt),
                        test::hung_line("eaves-line", 5, 1, 3, 2, std::nullopt)});
}

inline practice::Subject subject_of(const engine::Plan& plan, std::size_t prop = 0) {
  const engine::PlannedProp& of = *plan.props[prop];
  return {.frame = &of.frame,
          .map = &of.map,
          .patch = &plan.patch.props[prop],
          .format = of.format,
          .placement = of.placement,
          .fed_once = false,
          .prop = prop,
          .prop_names = plan.prop_names()};
}

/// A logbook and what follows from it for one prop.
class Searched {
 public:
  explicit Searched(std::shared_ptr<engine::Plan> plan = boathouse(), std::size_t prop = 0)
      : plan_{std::move(plan)},
        of_{.site = "boathouse", .subject = subject_of(*plan_, prop), .bright = true} {}

  /// Worked out from what is written down alone.
  [[nodiscard]] FindState state() const { return find_state(of_, pages.entries()); }
  [[nodiscard]] const practice::Subject& subject() const { return of_.subject; }
  [[nodiscard]] const FindSubject& of() const { return of_; }
  EntryNumber begin(FindPlace place = FindPlace::kBench) {
    return pages.add(begin_find(of_.subject, place, ""));
  }
  /// Writes down what follows from an answer to a question; gives the state after it.
  FindState answer(const FindState& now, const find::Said& said) {
    auto answer = answer_find(now, *now.find, static_cast<int>(now.answers.size()) + 1, said);
    if (!answer) {
      ADD_FAILURE() << test::lines(answer.error().problems);
      return now;
    }
    FindAnswer taken = std::move(answer).value();
    for (const Event& event : taken.events) pages.add(event);
    return find_state(of_, pages.entries(), std::move(taken.after));
  }
  FindState search_to_the_end(const std::string& fault) {
    const test::Builder builder{of_.subject, fault};
    begin();
    FindState now = state();
    for (int i = 0; i < 20 && now.progress == Progress::kOpen; ++i) {
      now = answer(now, builder.answer(now.finder->question()));
    }
    return now;
  }

  Pages pages;

 private:
  std::shared_ptr<engine::Plan> plan_;
  FindSubject of_;
};

inline std::string text_of(const Event& event) {
  if (const auto* const answered = std::get_if<FindAnswered>(&event)) {
    return "answer " + std::to_string(answered->find) + ' ' + answered->prop + ' ' +
           std::to_string(answered->question) + ". " + answered->asked + " -> " + answered->answer +
           '\n';
  }
  if (const auto* const found = std::get_if<FindConcluded>(&event)) {
    return "found " + std::to_string(found->find) + ' ' + found->prop + ' ' + found->fault + '|' +
           found->second + " at " + found->station + ' ' + std::to_string(found->index) + ", " +
           std::to_string(found->certainty) + " per mille after " +
           std::to_string(found->questions) + ", also " + found->also_possible + '\n';
  }
  if (const auto* const repaired = std::get_if<FindRepaired>(&event)) {
    return "repair " + std::to_string(repaired->find) + ' ' + repaired->prop + ' ' +
           to_text(repaired->repair) + '|' + repaired->fault + '|' + repaired->note + '\n';
  }
  if (const auto* const begun = std::get_if<FindBegun>(&event)) {
    return "begun " + begun->prop + ' ' + to_text(begun->place) + '|' + begun->from + '\n';
  }
  return "another event\n";
}

template <class T>
std::string refusal_of(const base::Result<T, Refusal>& result) {
  if (result) return "taken\n";
  return (result.error().stale ? "stale " : "refused ") + test::lines(result.error().problems);
}

inline const find::Said kUnsure{.words = {"unsure"}};

}  // namespace panewalk::check
