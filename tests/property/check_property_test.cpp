#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "check/bench.hpp"
#include "check/walk.hpp"
#include "support/check_site.hpp"

// Histories as devices write them: each answer is made from the state that the device read, which
// others may have changed since.
namespace panewalk::check {
namespace {

/// Mostly the newest number, now and then that of a device that slept.
EntryNumber any_number(std::optional<EntryNumber> newest) {
  if (newest && *rc::gen::inRange(0, 5) > 0) return *newest;
  return *rc::gen::inRange<EntryNumber>(1, 10);
}

std::shared_ptr<engine::Plan> site() {
  return test::plan_of({test::hung_window("slip", 1, 1),
                        test::hung_line("sill", 20, 0, 2, 2, test::at(2000, 0)),
                        test::hung_line("gable", 30, 1, 11, 2, test::at(4000, 0))});
}

Answer any_answer() {
  return *rc::gen::element(Answer::kYes, Answer::kNo, Answer::kUnsure, Answer::kSkipped);
}

RC_GTEST_PROP(BenchState, LosesNoAnswerOfItsCheckHoweverTheHistoryIsCut, ()) {
  const auto plan = site();
  const std::vector<BenchStep> steps = bench_steps(*plan, 0);
  test::Pages pages;
  // By hand: what the newest check of prop 0 has been told.
  std::map<std::string, Answer> told;
  std::optional<EntryNumber> newest;
  for (int i = *rc::gen::inRange(1, 40); i > 0; --i) {
    const int what = *rc::gen::inRange(0, 12);
    const BenchState before = bench_state(*plan, 0, pages.entries());
    if (what == 0) {
      newest = pages.add(begin_bench(*plan, 0));
      told.clear();
    } else if (what == 1) {
      pages.add(begin_bench(*plan, 1));
    } else {
      const std::string step = steps[*rc::gen::inRange<std::size_t>(0, steps.size())].step;
      const EntryNumber check = any_number(newest);
      const Answer answer = any_answer();
      const auto event = answer_bench(before, check, step, answer, "");
      RC_ASSERT(event.ok() == (newest == check));
      if (!event) {
        RC_ASSERT(event.error().stale);
        continue;
      }
      pages.add(event.value());
      told[step] = answer;
    }
    const BenchState state = bench_state(*plan, 0, pages.entries());
    RC_ASSERT(state.check == newest);
    std::size_t open = 0;
    std::size_t differing = 0;
    for (const BenchStepState& each : state.steps) {
      const auto found = told.find(each.asked.step);
      RC_ASSERT(each.answer.has_value() == (found != told.end()));
      if (each.answer) RC_ASSERT(*each.answer == found->second);
      if (each.asked.fits() && !each.answer) ++open;
      if (each.answer == Answer::kNo || each.answer == Answer::kUnsure) ++differing;
    }
    RC_ASSERT(state.differs.size() == differing);
    RC_ASSERT(state.next.has_value() == (newest && open > 0));
    RC_ASSERT((state.progress == Progress::kDone) == (newest && open == 0));
  }
}

RC_GTEST_PROP(WalkState, LosesNoAnswerOfItsWalkHoweverTheHistoryIsCut, ()) {
  const auto plan = site();
  const std::vector<std::string> props = plan->prop_names();
  test::Pages pages;
  std::map<std::string, Seen> told;
  std::optional<EntryNumber> newest;
  for (int i = *rc::gen::inRange(1, 40); i > 0; --i) {
    if (*rc::gen::inRange(0, 12) == 0) {
      newest = pages.add(begin_walk(*plan, *rc::gen::element(WalkBy::kOrder, WalkBy::kNearest)));
      told.clear();
    } else {
      const std::string prop = props[*rc::gen::inRange<std::size_t>(0, props.size())];
      const std::string other = props[*rc::gen::inRange<std::size_t>(0, props.size())];
      const Seen seen =
          *rc::gen::element(Seen::kAsDrawn, Seen::kAnother, Seen::kNothing, Seen::kWrong);
      const EntryNumber walk = any_number(newest);
      const bool named = seen == Seen::kAnother && other != prop;
      const auto event =
          answer_walk(walk_state(*plan, pages.entries()), walk, prop, seen, named ? other : "", "");
      RC_ASSERT(event.ok() == (newest == walk));
      if (!event) continue;
      pages.add(event.value());
      told[prop] = seen;
    }
    const WalkState state = walk_state(*plan, pages.entries());
    RC_ASSERT(state.walk == newest);
    RC_ASSERT(state.stops.size() == props.size());
    std::set<std::string> listed;
    for (const PunchItem& item : state.punch_list) {
      RC_ASSERT(item.check.size() >= 2 && item.check.size() <= 4);
      listed.insert(item.prop);
    }
    for (const WalkStop& stop : state.stops) {
      const auto found = told.find(stop.prop);
      RC_ASSERT(stop.seen.has_value() == (found != told.end()));
      if (stop.seen) RC_ASSERT(*stop.seen == found->second);
      RC_ASSERT((listed.count(stop.prop) > 0) == (stop.seen && stop.seen != Seen::kAsDrawn));
    }
    RC_ASSERT(state.next.has_value() == (newest && told.size() < props.size()));
  }
}

}  // namespace
}  // namespace panewalk::check
