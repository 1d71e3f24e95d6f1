#include "check/bench.hpp"

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "support/check_site.hpp"

namespace panewalk::check {
namespace {

using test::Pages;

std::shared_ptr<engine::Plan> site() {
  return test::plan_of({test::hung_window("slip-window", 1, 1),
                        test::hung_line("sill", 20, 0, 2, 2, test::at(0, 1000)),
                        test::hung_line("stub", 1 + 1, 1, 3, 1, {})});
}

BenchStep step_of(const engine::Plan& plan, std::size_t prop, const std::string& name) {
  for (const BenchStep& step : bench_steps(plan, prop)) {
    if (step.step == name) return step;
  }
  ADD_FAILURE() << "no step " << name;
  return {};
}

/// "runs: why", one a line, of the steps that are not asked.
std::string not_asked(const engine::Plan& plan, std::size_t prop) {
  std::string text;
  for (const BenchStep& step : bench_steps(plan, prop)) {
    if (!step.fits()) text += step.step + ": " + *step.why_not + '\n';
  }
  return text;
}

BenchAnswered answered(EntryNumber check, const std::string& step, Answer answer,
                       const std::string& note = "") {
  return {.check = check, .prop = "slip-window", .step = step, .answer = answer, .note = note};
}

TEST(BenchSteps, ComeInTheOrderOfTheData) {
  std::string names;
  for (const BenchStep& step : bench_steps(*site(), 0)) names += step.step + ' ';
  EXPECT_EQ(names,
            "first-pixel colour-order ruler runs jump-ends corners centre-cross panes slope "
            "load-quarter load-half load-three-quarters load-full ");
}

TEST(BenchSteps, AskWhereTheFirstPixelIsFromBothSides) {
  const BenchStep step = step_of(*site(), 0, "first-pixel");
  EXPECT_EQ(step.title, "The first pixel");
  EXPECT_EQ(step.pattern, "find-me");
  EXPECT_EQ(step.region, "pixel 1");
  EXPECT_EQ(step.beat, std::nullopt);
  EXPECT_EQ(step.level, light::Level::of(0.3));
  EXPECT_EQ(step.look_for,
            "One pixel alone glows white and fades again, once every three seconds: the one where "
            "the lead-in comes in.");
  EXPECT_EQ(step.question,
            "Does the pixel at the lead-in glow, and no other? Its place seen from the front: "
            "bottom left corner; from the back: bottom right corner.");
  EXPECT_EQ(test::text_of(step.cautions), "");
}

TEST(BenchSteps, AskTheWindowAllThatItHas) {
  const auto plan = site();
  EXPECT_EQ(not_asked(*plan, 0), "");
  EXPECT_EQ(step_of(*plan, 0, "colour-order").question,
            "Is the whole prop red, then green, then blue, then white, and no pixel unlike its "
            "neighbours?");
  EXPECT_EQ(step_of(*plan, 0, "ruler").question,
            "Along the wire, do you count 6 bright white pixels, and after the last of them 3 dim "
            "pixels?");
  EXPECT_EQ(step_of(*plan, 0, "runs").question,
            "Are there 4 runs, each changing its colour exactly where the drawing starts the next "
            "one?");
  EXPECT_EQ(step_of(*plan, 0, "jump-ends").question,
            "Does each of the 3 pairs lie where the drawing puts it, yellow where the data leaves "
            "and blue where it lands?");
  EXPECT_EQ(step_of(*plan, 0, "corners").question,
            "Seen from the front: is the corner red at the top left, green at the top right, blue "
            "at the bottom right and white at the bottom left?");
  EXPECT_EQ(step_of(*plan, 0, "centre-cross").question,
            "Is the one bright pixel in the exact middle, with as many dim pixels on one side of "
            "it as on the other?");
  EXPECT_EQ(step_of(*plan, 0, "panes").question,
            "Does each of the 4 openings light up all round, one after the other, and nothing "
            "beyond it?");
  EXPECT_EQ(step_of(*plan, 0, "slope").question,
            "Is each run darkest where the data comes in, growing evenly to its brightest at the "
            "other end?");
  EXPECT_EQ(step_of(*plan, 0, "slope").look_for, "Look for slope.");
}

TEST(BenchSteps, ThatCanTellNothingSayWhy) {
  const auto plan = site();
  EXPECT_EQ(not_asked(*plan, 1),
            "runs: one run only, so there is no second colour to compare it with\n"
            "jump-ends: no hop or jump on this prop\n"
            "panes: no panes on this prop\n");
  EXPECT_EQ(not_asked(*plan, 2),
            "ruler: with 2 pixels there is no tenth to count by\n"
            "runs: one run only, so there is no second colour to compare it with\n"
            "jump-ends: no hop or jump on this prop\n"
            "panes: no panes on this prop\n");
  EXPECT_EQ(step_of(*plan, 1, "ruler").question,
            "Along the wire, do you count 2 bright white pixels, and after the last of them "
            "nothing more?");
}

TEST(BenchSteps, AreNotAskedWithoutTheirPattern) {
  const auto plan = site();
  std::erase_if(plan->patterns, [](const auto& each) { return each.name == "slope"; });
  EXPECT_EQ(not_asked(*plan, 0), "slope: there is no pattern \"slope\"\n");
}

TEST(BenchSteps, OfATurnedPropAskForItsCornersAsItHangs) {
  test::Hung window = test::hung_window("slip-window", 1, 1);
  window.turned = true;
  EXPECT_EQ(step_of(*test::plan_of({window}), 0, "corners").question,
            "Held upside down, as it will hang, and seen from the front: is the corner red at the "
            "top left, green at the top right, blue at the bottom right and white at the bottom "
            "left?");
}

TEST(BenchSteps, LoadTheSupplyInFourBeatsWithCautions) {
  const auto plan = site();
  const char* names[] = {"load-quarter", "load-half", "load-three-quarters", "load-full"};
  for (int beat = 1; beat <= 4; ++beat) {
    const BenchStep step = step_of(*plan, 0, names[beat - 1]);
    EXPECT_EQ(step.pattern, "load-step");
    EXPECT_EQ(step.beat, beat);
    EXPECT_EQ(step.level, light::Level::of(1));
    EXPECT_EQ(step.cautions.size(), 5U);
  }
  EXPECT_EQ(step_of(*plan, 0, "load-three-quarters").question,
            "With three quarters of the load, is the far end of the wire as white and as bright as "
            "the first pixel, with nothing blinking and nothing warm?");
  EXPECT_EQ(
      test::text_of(step_of(*plan, 0, "load-full").cautions),
      "Panewalk can't switch anything off, and its limit is no protection. Fuses, an earth-leakage "
      "breaker (GFCI or RCD) and wire of the right size are.\n"
      "See that every feed has its fuse, and that no fuse is larger than its wire allows.\n"
      "Switch the power off before you touch, plug or splice anything.\n"
      "Use a listed, enclosed supply. Keep to the electrical code of your place, and leave the "
      "work on mains to a licensed electrician.\n"
      "Stop at once where the far end turns yellow or orange, or where a wire, a plug or a pixel "
      "gets warm or smells.\n");
}

TEST(BenchState, IsNotBegunInAnEmptyLogbook) {
  const BenchState state = bench_state(*site(), 0, {});
  EXPECT_EQ(state.prop, "slip-window");
  EXPECT_STREQ(to_text(state.progress), "not begun");
  EXPECT_EQ(state.check, std::nullopt);
  EXPECT_EQ(state.begun_at, std::nullopt);
  EXPECT_EQ(state.next, std::nullopt);
  EXPECT_EQ(state.steps.size(), 13U);
}

TEST(BenchState, GoesOnToTheFirstQuestionWithoutAnAnswer) {
  const auto plan = site();
  Pages pages;
  const EntryNumber check = pages.add(begin_bench(*plan, 0));
  EXPECT_EQ(bench_state(*plan, 0, pages.entries()).next, "first-pixel");
  pages.add(answered(check, "first-pixel", Answer::kYes));
  pages.add(answered(check, "ruler", Answer::kYes));
  const BenchState state = bench_state(*plan, 0, pages.entries());
  EXPECT_STREQ(to_text(state.progress), "open");
  EXPECT_EQ(state.check, 1);
  EXPECT_EQ(state.begun_at, 60);
  EXPECT_EQ(state.next, "colour-order");
  EXPECT_EQ(state.steps[0].answer, Answer::kYes);
  EXPECT_EQ(state.steps[0].at, 120);
  EXPECT_EQ(state.steps[1].answer, std::nullopt);
  EXPECT_EQ(state.steps[2].at, 180);
}

TEST(BenchState, IsDoneWithAnAnswerToEveryStepThatFits) {
  const auto plan = site();
  Pages pages;
  const EntryNumber check = pages.add(begin_bench(*plan, 1));
  for (const BenchStep& step : bench_steps(*plan, 1)) {
    EXPECT_STREQ(to_text(bench_state(*plan, 1, pages.entries()).progress), "open");
    if (step.fits()) {
      pages.add(BenchAnswered{check, "sill", step.step, Answer::kSkipped, ""});
    }
  }
  const BenchState state = bench_state(*plan, 1, pages.entries());
  EXPECT_STREQ(to_text(state.progress), "done");
  EXPECT_EQ(state.next, std::nullopt);
  EXPECT_EQ(test::text_of(state.differs), "");
}

TEST(BenchState, TakesALaterAnswerForAnEarlierOne) {
  const auto plan = site();
  Pages pages;
  const EntryNumber check = pages.add(begin_bench(*plan, 0));
  pages.add(answered(check, "corners", Answer::kNo, "green is left"));
  EXPECT_EQ(test::text_of(bench_state(*plan, 0, pages.entries()).differs),
            "The corners: the corners are not where they should be. You noted: \"green is "
            "left\".\n");
  pages.add(answered(check, "corners", Answer::kYes));
  const BenchState state = bench_state(*plan, 0, pages.entries());
  EXPECT_EQ(state.steps[5].answer, Answer::kYes);
  EXPECT_EQ(state.steps[5].note, "");
  EXPECT_EQ(test::text_of(state.differs), "");
}

TEST(BenchState, SaysOfEachStepWhatDiffers) {
  const auto plan = site();
  Pages pages;
  const EntryNumber check = pages.add(begin_bench(*plan, 0));
  for (const BenchStep& step : bench_steps(*plan, 0)) {
    pages.add(answered(check, step.step, Answer::kNo));
  }
  pages.add(answered(check, "load-full", Answer::kUnsure));
  EXPECT_EQ(test::text_of(bench_state(*plan, 0, pages.entries()).differs),
            "The first pixel: the first pixel is not where the drawing has it, or stays dark.\n"
            "The order of the colours: colours come in another order, or some pixels lack one.\n"
            "The count of the pixels: the wire has another count of lit pixels than the "
            "drawing.\n"
            "The runs: the runs don't begin and end where the drawing has them.\n"
            "Both ends of each jump and hop: a jump or hop does not lead where the drawing has "
            "it.\n"
            "The corners: the corners are not where they should be.\n"
            "The middle: the middle is not in the middle.\n"
            "The panes: an opening is not lit all round, or more than it is lit.\n"
            "The way of each run: a run is fed from its other end, or does not grow evenly.\n"
            "A quarter of the load: the far end is not as white as the first pixel, or something "
            "blinks or gets warm.\n"
            "Half of the load: the far end is not as white as the first pixel, or something "
            "blinks or gets warm.\n"
            "Three quarters of the load: the far end is not as white as the first pixel, or "
            "something blinks or gets warm.\n"
            "The whole load: you were not sure; look once more.\n");
}

TEST(BenchState, StartsAfreshWithTheNewestCheck) {
  const auto plan = site();
  Pages pages;
  const EntryNumber first = pages.add(begin_bench(*plan, 0));
  pages.add(answered(first, "first-pixel", Answer::kNo));
  const EntryNumber second = pages.add(begin_bench(*plan, 0));
  pages.add(answered(first, "runs", Answer::kNo));
  const BenchState state = bench_state(*plan, 0, pages.entries());
  EXPECT_EQ(state.check, second);
  EXPECT_EQ(state.next, "first-pixel");
  EXPECT_EQ(test::text_of(state.differs), "");
}

TEST(BenchState, HeedsNoOtherSiteNoOtherPropAndNoUnknownStep) {
  const auto plan = site();
  Pages pages;
  const EntryNumber check = pages.add(begin_bench(*plan, 0));
  pages.add(BenchBegun{"slip-window"}, "quay");
  pages.add(begin_bench(*plan, 1));
  pages.add(answered(check, "first-pixel", Answer::kNo), "quay");
  pages.add(answered(check, "smell", Answer::kNo));
  const BenchState state = bench_state(*plan, 0, pages.entries());
  EXPECT_EQ(state.check, check);
  EXPECT_EQ(state.next, "first-pixel");
  EXPECT_EQ(test::text_of(state.differs), "");
}

TEST(BenchState, HeedsNothingOfTheFaultFinder) {
  const auto plan = site();
  Pages pages;
  const EntryNumber check = pages.add(begin_bench(*plan, 0));
  pages.add(answered(check, "first-pixel", Answer::kNo));
  pages.add(FindBegun{"slip-window", FindPlace::kBench, "bench first-pixel"});
  pages.add(FindAnswered{check, "slip-window", 1, "same: in red", "\"no\""});
  pages.add(FindConcluded{.find = check,
                          .prop = "slip-window",
                          .fault = "turned",
                          .second = "",
                          .station = "",
                          .also_possible = ""});
  pages.add(FindRepaired{check, "slip-window", Repair::kMended, "", ""});
  const BenchState state = bench_state(*plan, 0, pages.entries());
  EXPECT_EQ(state.check, check);
  EXPECT_EQ(state.next, "colour-order");
  EXPECT_EQ(state.steps[0].answer, Answer::kNo);
}

/// "stale" or "bad", then one problem a line.
std::string refused(const base::Result<Event, Refusal>& answer) {
  if (answer) return "taken";
  return (answer.error().stale ? "stale\n" : "bad\n") + test::lines(answer.error().problems);
}

TEST(AnswerBench, IsWhatTheLogbookKeeps) {
  const auto plan = site();
  Pages pages;
  const EntryNumber check = pages.add(begin_bench(*plan, 0));
  const auto answer =
      answer_bench(bench_state(*plan, 0, pages.entries()), check, "runs", Answer::kUnsure, "fog");
  ASSERT_TRUE(answer.ok()) << refused(answer);
  EXPECT_EQ(answer.value(), Event{answered(check, "runs", Answer::kUnsure, "fog")});
}

TEST(AnswerBench, RefusesACheckThatIsNotTheNewest) {
  const auto plan = site();
  Pages pages;
  pages.add(begin_bench(*plan, 0));
  pages.add(begin_bench(*plan, 0));
  EXPECT_EQ(
      refused(answer_bench(bench_state(*plan, 0, pages.entries()), 1, "runs", Answer::kYes, "")),
      "stale\n/check: check 1 of slip-window is not the newest one; the newest is 2; "
      "somebody began again; read the check anew\n");
  EXPECT_EQ(refused(answer_bench(bench_state(*plan, 0, {}), 1, "runs", Answer::kYes, "")),
            "stale\n/check: no check of slip-window was begun; begin one\n");
}

TEST(AnswerBench, RefusesAllThatIsWrongAtOnce) {
  const auto plan = site();
  Pages pages;
  pages.add(begin_bench(*plan, 1));
  const BenchState state = bench_state(*plan, 1, pages.entries());
  EXPECT_EQ(refused(answer_bench(state, 1, "rulr", Answer::kYes, std::string(2001, 'x'))),
            "bad\n/step: no step is named \"rulr\"; did you mean \"ruler\"?\n"
            "/note: a note of 2001 bytes; at most 2000\n");
  EXPECT_EQ(refused(answer_bench(state, 1, "panes", Answer::kYes, "")),
            "bad\n/step: panes is not asked of sill: no panes on this prop; answer the steps that "
            "fit\n");
}

}  // namespace
}  // namespace panewalk::check
