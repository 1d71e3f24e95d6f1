#include "check/find.hpp"

#include <gtest/gtest.h>

#include "support/builder.hpp"
#include "support/check_site.hpp"

namespace panewalk::check {
namespace {

using test::Pages;

/// Small, so that its questions are soon chosen.
std::shared_ptr<engine::Plan> boathouse(int pixels = 12) {
  return test::plan_of({test::hung_line("gable-line", pixels, 0, 1, 1, std::nullopt),
                        test::hung_line("eaves-line", 5, 1, 3, 2, std::nullopt)});
}

practice::Subject subject_of(const engine::Plan& plan, std::size_t prop = 0) {
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
    return pages.add(begin_find(of_.subject.prop_names[of_.subject.prop], place, ""));
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

std::string text_of(const Event& event) {
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

const find::Said kUnsure{.words = {"unsure"}};

TEST(FindState, SaysThatNobodyBegan) {
  const FindState state = Searched{}.state();
  EXPECT_EQ(state.prop, "gable-line");
  EXPECT_FALSE(state.find);
  EXPECT_EQ(state.progress, Progress::kNotBegun);
  EXPECT_FALSE(state.finder);
  EXPECT_EQ(state.question(1), nullptr);
}

TEST(FindState, ASearchIsWrittenDownUntilTheFaultIsFound) {
  Searched searched;
  const FindState state = searched.search_to_the_end("data-open=5");
  EXPECT_EQ(state.progress, Progress::kDone);
  EXPECT_FALSE(state.stale);
  const std::vector<Entry>& entries = searched.pages.entries();
  const std::size_t answers = state.answers.size();
  ASSERT_EQ(entries.size(), answers + 2);
  EXPECT_EQ(text_of(entries.front().event), "begun gable-line bench|\n");
  for (std::size_t i = 1; i <= answers; ++i) {
    const std::string start = "answer 1 gable-line " + std::to_string(i) + ". ";
    EXPECT_EQ(text_of(entries[i].event).substr(0, start.size()), start);
  }
  // Which questions it took is the finder's own affair.
  FindConcluded found = std::get<FindConcluded>(entries.back().event);
  EXPECT_GT(found.certainty, 500);
  EXPECT_EQ(found.also_possible.substr(0, 16), "count-short=5 0.");
  found.certainty = 0;
  found.also_possible.clear();
  EXPECT_EQ(text_of(found), "found 1 gable-line data-open=5| at A-B/4 5, 0 per mille after " +
                                std::to_string(answers) + ", also \n");
  EXPECT_EQ(state.concluded->questions, found.questions);
}

TEST(FindState, IsTheSameWorkedOutAnewAsGoneOnFrom) {
  Searched searched;
  searched.begin();
  const FindState on = searched.answer(searched.answer(searched.state(), kUnsure), kUnsure);
  const FindState anew = searched.state();
  ASSERT_TRUE(on.finder);
  ASSERT_TRUE(anew.finder);
  EXPECT_EQ(asked_text(searched.subject(), on.finder->question()),
            asked_text(searched.subject(), anew.finder->question()));
  EXPECT_EQ(on.finder->number(), 3);
  ASSERT_EQ(on.answers.size(), 2U);
  EXPECT_EQ(on.answers[1].at, 180);
  EXPECT_EQ(on.answers[1].answer, kUnsure);
  EXPECT_EQ(on.question(2)->shown, anew.question(2)->shown);
  EXPECT_EQ(on.question(3), &on.finder->question());
  EXPECT_EQ(on.question(4), nullptr);
  EXPECT_EQ(on.question(0), nullptr);
}

TEST(FindState, AnotherDevicesSearchIsNotGoneOnWith) {
  Searched searched;
  searched.begin();
  FindState before = searched.answer(searched.state(), kUnsure);
  searched.begin(FindPlace::kYard);
  const FindState on = find_state(searched.of(), searched.pages.entries(), std::move(before));
  EXPECT_EQ(on.find, 3);
  EXPECT_EQ(on.place, FindPlace::kYard);
  EXPECT_EQ(on.answers.size(), 0U);
  EXPECT_EQ(on.finder->number(), 1);
}

TEST(FindState, AnAnswerToAnEarlierQuestionTakesThePlaceOfAllAfterIt) {
  Searched searched;
  const FindState done = searched.search_to_the_end("data-open=5");
  auto again = answer_find(done, 1, 2, kUnsure, Turn::kAgain);
  ASSERT_TRUE(again) << refusal_of(again);
  for (const Event& event : again.value().events) searched.pages.add(event);
  const FindState state = searched.state();
  EXPECT_EQ(state.progress, Progress::kOpen);
  ASSERT_EQ(state.answers.size(), 2U);
  EXPECT_EQ(state.answers[1].answer, kUnsure);
  EXPECT_FALSE(state.concluded);
  EXPECT_EQ(state.finder->number(), 3);
  EXPECT_EQ(asked_text(searched.subject(), state.finder->question()),
            asked_text(searched.subject(), again.value().after.finder->question()));
}

TEST(FindState, EntriesOutOfTurnAndOfOthersCountForNothing) {
  Searched searched;
  searched.begin();
  const FindState one = searched.answer(searched.state(), kUnsure);
  const FindAnswered second{.find = 1,
                            .prop = "gable-line",
                            .question = 2,
                            .asked = asked_text(searched.subject(), one.finder->question()),
                            .answer = "\"unsure\""};
  FindAnswered fourth = second;
  fourth.question = 4;
  FindAnswered of_another = second;
  of_another.find = 77;
  searched.pages.add(fourth);
  searched.pages.add(of_another);
  searched.pages.add(second, "shed");
  searched.pages.add(FindConcluded{.find = 77, .prop = "gable-line", .fault = "none"});
  searched.pages.add(FindBegun{.prop = "eaves-line"});
  const FindState state = searched.state();
  EXPECT_EQ(state.answers.size(), 1U);
  EXPECT_EQ(state.progress, Progress::kOpen);
  EXPECT_EQ(state.find, 1);
}

TEST(FindState, ASiteThatAsksSomethingElseByNowIsStale) {
  Searched before;
  before.begin();
  before.answer(before.answer(before.state(), kUnsure), kUnsure);
  Searched now{boathouse(9)};
  now.pages = before.pages;
  const FindState state = now.state();
  EXPECT_TRUE(state.stale);
  EXPECT_EQ(state.progress, Progress::kOpen);
  EXPECT_FALSE(state.finder);
  EXPECT_EQ(state.question(1), nullptr);
  EXPECT_EQ(state.question(3), nullptr);
  ASSERT_EQ(state.answers.size(), 2U);
  EXPECT_EQ(state.answers[0].recorded.answer, "\"unsure\"");
  EXPECT_EQ(refusal_of(answer_find(state, 1, 3, kUnsure)),
            "stale /find: the site has changed since search 1 of gable-line began; begin again\n");
}

TEST(FindState, WhatWasFoundBeforeTheSiteChangedIsStillDone) {
  Searched before;
  before.search_to_the_end("data-open=5");
  Searched now{boathouse(9)};
  now.pages = before.pages;
  const FindState state = now.state();
  EXPECT_TRUE(state.stale);
  EXPECT_EQ(state.progress, Progress::kDone);
  EXPECT_EQ(state.concluded->fault, "data-open=5");
  const auto events = repair_find(state, now.subject(), 1, Repair::kMended, "", "");
  ASSERT_TRUE(events) << refusal_of(events);
  EXPECT_EQ(text_of(events.value().front()), "repair 1 gable-line mended||\n");
}

TEST(FindState, OnlyWhatWasMendedBeforeItBeganIsKnownToASearch) {
  Searched searched;
  const auto found = [&searched](EntryNumber find, const std::string& fault, Repair repair) {
    searched.pages.add(FindConcluded{.find = find, .prop = "eaves-line", .fault = fault});
    searched.pages.add(FindRepaired{.find = find, .prop = "eaves-line", .repair = repair});
  };
  searched.pages.add(FindBegun{.prop = "eaves-line"});
  found(1, "power-open=3", Repair::kMended);
  searched.pages.add(FindBegun{.prop = "eaves-line"});
  found(4, "data-open=4", Repair::kNotMended);
  searched.pages.add(FindBegun{.prop = "eaves-line"});
  found(7, "none", Repair::kMended);
  searched.begin();
  searched.pages.add(FindBegun{.prop = "eaves-line"});
  found(11, "mirrored", Repair::kMended);
  const std::vector<practice::FaultKind> power_open{practice::FaultKind::kPowerOpen};
  EXPECT_EQ(searched.state().finder->conditions().experience.mended, power_open);
}

TEST(FindAnswers, EveryRefusalSaysWhatIsThere) {
  Searched searched;
  EXPECT_EQ(refusal_of(answer_find(searched.state(), 1, 1, kUnsure)),
            "stale /find: no search of gable-line was begun; begin one\n");
  searched.begin();
  const FindState open = searched.state();
  EXPECT_EQ(refusal_of(answer_find(open, 9, 1, kUnsure)),
            "stale /find: search 9 of gable-line is not the newest one; the newest is 1; somebody "
            "began again; read the search anew\n");
  EXPECT_EQ(refusal_of(answer_find(open, 1, 2, kUnsure)),
            "stale /question: question 2 is not open; question 1 is; read the search anew\n");
  EXPECT_EQ(refusal_of(answer_find(open, 1, 1, kUnsure, Turn::kAgain)),
            "stale /question: question 1 has no answer whose place another could take; none has "
            "been answered\n");
  EXPECT_EQ(refusal_of(answer_find(open, 1, 1, {.words = {"boat"}})),
            "refused /answer: no station is named \"boat\"; names are as on the drawing, such as "
            "\"A\" or \"A-B/1\"\n");
  const FindState one = searched.answer(open, kUnsure);
  EXPECT_EQ(refusal_of(answer_find(one, 1, 1, kUnsure)),
            "stale /question: question 1 is not open; question 2 is; read the search anew\n");
  EXPECT_EQ(refusal_of(answer_find(one, 1, 5, kUnsure, Turn::kAgain)),
            "stale /question: question 5 has no answer whose place another could take; 1 to 1\n");
  const FindState done = Searched{}.search_to_the_end("data-open=5");
  EXPECT_EQ(refusal_of(answer_find(done, 1, 99, kUnsure)),
            "stale /question: question 99 is not open: the search is done; read the search "
            "anew\n");
}

TEST(FindRepairs, EveryRefusalSaysWhatIsThere) {
  Searched searched;
  searched.begin();
  FindState now = searched.state();
  const auto repair = [&](EntryNumber find, Repair became, const std::string& fault,
                          const std::string& note) {
    return refusal_of(repair_find(now, searched.subject(), find, became, fault, note));
  };
  EXPECT_EQ(repair(2, Repair::kMended, "", ""),
            "stale /find: search 2 of gable-line is not the newest one; the newest is 1; somebody "
            "began again; read the search anew\n");
  EXPECT_EQ(repair(1, Repair::kMended, "", ""),
            "stale /find: search 1 of gable-line has found nothing yet; answer its questions "
            "first\n");
  now = searched.search_to_the_end("data-open=5");
  EXPECT_EQ(repair(2, Repair::kMended, "data-open=3", ""),
            "refused /fault: a fault is named, but what became of the finding is \"mended\"; name "
            "one only with \"was another fault\"\n");
  EXPECT_EQ(repair(2, Repair::kWasAnother, "data-open=99", std::string(2001, 'x')),
            "refused /fault: \"99\" is not allowed; 1 to 11\n"
            "/note: a note of 2001 bytes; at most 2000\n");
  EXPECT_EQ(repair(2, Repair::kNotMended, "", "soldered"), "taken\n");
}

TEST(FindRepairs, NameTheFaultAsTheListHasIt) {
  Searched searched;
  const FindState done = searched.search_to_the_end("data-open=5");
  const auto events = repair_find(done, searched.subject(), 1, Repair::kWasAnother, "data-open=6",
                                  "one on\nthe next wire");
  ASSERT_TRUE(events) << refusal_of(events);
  ASSERT_EQ(events.value().size(), 1U);
  EXPECT_EQ(text_of(events.value().front()),
            "repair 1 gable-line was another fault|data-open=6|one on\nthe next wire\n");
}

TEST(FindRepairs, WriteTheFindingTooWhereTheMachineStoppedBeforeIt) {
  Searched whole;
  const FindState done = whole.search_to_the_end("data-open=5");
  Searched cut;
  for (const Entry& entry : whole.pages.entries()) {
    if (!std::holds_alternative<FindConcluded>(entry.event)) cut.pages.add(entry.event);
  }
  const FindState state = cut.state();
  EXPECT_EQ(state.progress, Progress::kDone);
  EXPECT_FALSE(state.concluded);
  const auto events = repair_find(state, cut.subject(), 1, Repair::kMended, "", "new splice");
  ASSERT_TRUE(events) << refusal_of(events);
  ASSERT_EQ(events.value().size(), 2U);
  EXPECT_EQ(std::get<FindConcluded>(events.value()[0]), *done.concluded);
  EXPECT_EQ(text_of(events.value()[1]), "repair 1 gable-line mended||new splice\n");
}

TEST(FindBegin, SaysWhereItIsAndWhereItCameFrom) {
  EXPECT_EQ(text_of(begin_find("gable-line", FindPlace::kYard, "walk")),
            "begun gable-line yard|walk\n");
}

TEST(FindSaid, IsWrittenAndReadAsJson) {
  const auto both_ways = [](const find::Said& said) {
    const std::string text = as_json(said);
    return text + (said_from_json(text) == said ? "" : " is read as something else");
  };
  EXPECT_EQ(both_ways({.words = {"yes"}}), R"("yes")");
  EXPECT_EQ(both_ways({.words = {"A1", "A1-B1/3"}, .is_list = true}), R"(["A1", "A1-B1/3"])");
  EXPECT_EQ(both_ways({.words = {}, .is_list = true}), "[]");
  EXPECT_EQ(both_ways({.words = {"a \"b\" \\ c"}}), R"("a \"b\" \\ c")");
  for (const char* const other : {"", "3", "{}", "[3]", "[[\"A1\"]]", "\"A1", "null"}) {
    EXPECT_FALSE(said_from_json(other)) << other;
  }
}

TEST(FindBright, IsWhatTheCapAndTheSupplyLeaveAboveHalf) {
  const auto bright = [](double cap, const std::string& order, double amps) {
    auto controller = test::e131_controller("bench");
    if (amps > 0) controller.supply = patch::Supply{base::Volts::of(12), base::Amps::of(amps)};
    const auto plan = test::plan_of(
        {controller},
        {{.name = "gable-line", .pixels = 50, .cap = light::Level::of(cap), .order = order}});
    return may_be_bright(plan, 0);
  };
  EXPECT_TRUE(bright(1, "RGB", 0));
  EXPECT_TRUE(bright(1, "RGBW", 0));
  EXPECT_FALSE(bright(0.49, "RGB", 0));
  EXPECT_TRUE(bright(0.51, "RGB", 0));
  EXPECT_FALSE(bright(0.49, "RGBW", 0));
  EXPECT_FALSE(bright(1, "RGB", 1.0));  // full white takes 3 A
  EXPECT_TRUE(bright(1, "RGB", 2.0));
}

TEST(FindPixels, AreThoseToLookAt) {
  const auto plan = test::plan_of({test::hung_window("slip-window", 1, 1)});
  const practice::Subject subject = subject_of(*plan);
  const auto pixels = [&subject](const std::string& fault) {
    const auto read = practice::read_fault(subject, fault);
    if (!read) return to_line(read.error());
    std::string text;
    for (const int pixel : pixels_of(subject, read.value())) {
      text += (text.empty() ? "" : " ") + std::to_string(pixel);
    }
    return text;
  };
  EXPECT_EQ(pixels("data-open=17"), "17 18");
  EXPECT_EQ(pixels("pixel-extra=17"), "17 18");
  EXPECT_EQ(pixels("pixel-dark=17"), "17");
  EXPECT_EQ(pixels("pixel-stuck=63:red"), "63");
  EXPECT_EQ(pixels("sag=40"), "40");
  EXPECT_EQ(pixels("count-short=50"), "50 51");
  EXPECT_EQ(pixels("run-reversed=2"), "45 46 47 48 49 50 51 52 53 54 55");
  EXPECT_EQ(pixels("runs-swapped=3:4"), "56 57 58 59 60 61 62 63");
  EXPECT_EQ(pixels("joint-late=A3"), "1");
  EXPECT_EQ(pixels("no-response"), "");
  EXPECT_EQ(pixels("mirrored"), "");
  EXPECT_EQ(pixels("none"), "");
}

}  // namespace
}  // namespace panewalk::check
