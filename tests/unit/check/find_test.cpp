#include "check/find.hpp"

#include <gtest/gtest.h>

#include "support/searched.hpp"

namespace panewalk::check {
namespace {

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

TEST(FindState, ASiteThatReadsItsAnswersOtherwiseByNowIsStale) {
  Searched before;
  before.begin();
  before.answer(before.state(), kUnsure);
  // The same questions, of a prop that hangs on another universe.
  Searched now{test::plan_of({test::hung_line("gable-line", 12, 0, 7, 1, std::nullopt),
                              test::hung_line("eaves-line", 5, 1, 3, 2, std::nullopt)})};
  now.pages = before.pages;
  EXPECT_TRUE(now.state().stale);
  EXPECT_FALSE(before.state().stale);
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

// The same questions and answers would lead to the other order now.
TEST(FindState, AFindingThatTheChangedSiteWouldNotLeadToIsNotReadAnotherWay) {
  const auto with_order = [](const std::string& order) {
    return test::plan_of({test::e131_controller("bench")},
                         {{.name = "gable-line", .pixels = 12, .order = order}});
  };
  Searched before{with_order("GRB")};
  EXPECT_EQ(before.search_to_the_end("colour-order=RGB").concluded->fault, "colour-order=RGB");
  Searched now{with_order("RGB")};
  now.pages = before.pages;
  const FindState state = now.state();
  EXPECT_TRUE(state.stale);
  EXPECT_EQ(state.progress, Progress::kDone);
  EXPECT_EQ(state.concluded->fault, "colour-order=RGB");
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

}  // namespace
}  // namespace panewalk::check
