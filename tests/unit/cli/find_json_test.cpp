#include "cli/find_json.hpp"

#include <gtest/gtest.h>

#include "site/told.hpp"
#include "support/plans.hpp"

namespace panewalk::cli {
namespace {

using practice::Fault;
using practice::FaultKind;

/// A rail of three pixels behind one null pixel, and one with white chips.
class FindJson : public testing::Test {
 protected:
  std::shared_ptr<engine::Plan> plan_ =
      test::plan_of({test::e131_controller("bench")},
                    {{.name = "rail", .pixels = 3, .nulls = 1},
                     {.name = "sill", .pixels = 2, .universe = 2, .order = "GRBW"}});
  practice::Subject rail_ = site::subject_of(*plan_, 0);
  practice::Subject sill_ = site::subject_of(*plan_, 1);
};

TEST_F(FindJson, AQuestionHasEveryChipOfTheChainInItsFrames) {
  const find::Question question{.ask = find::Ask::kWhere,
                                .pictures = {{{}, {}, {0, 77, 0, 0}, {}}},
                                .station = std::nullopt,
                                .shown = "pixel 2 in green"};
  EXPECT_EQ(question_line(rail_, question, 3, {{{}, {}, {0, 77, 0, 0}, {}}}),
            R"({"question":3,"ask":"where","text":"Lit: pixel 2 in green. Which stations are lit, )"
            R"(in any colour? Tap or name them, or say none.",)"
            R"("frames":[[[0,0,0],[0,0,0],[0,77,0],[0,0,0]]],"choices":["none","unsure"]})");
}

TEST_F(FindJson, WhiteIsAFourthLevelAndColoursAreOfAStation) {
  const find::Question question{.ask = find::Ask::kColours,
                                .pictures = {{{}, {}}, {{}, {}}},
                                .station = base::StationIndex::of(1),
                                .shown = "all pixels in red and white"};
  const std::string line =
      question_line(sill_, question, 1, {{{9, 0, 0, 0}, {9, 0, 0, 0}}, {{0, 0, 0, 7}, {}}});
  EXPECT_EQ(line.substr(line.find(R"("frames")")),
            R"("frames":[[[9,0,0,0],[9,0,0,0]],[[0,0,0,7],[0,0,0,0]]],"station":"B",)"
            R"("choices":["dark","red","green","blue","white","yellow","cyan","magenta",)"
            R"("unsure"]})");
}

TEST_F(FindJson, AFindingHasWhatFaultTakes) {
  const find::Finding finding{
      .likeliest = {.fault = {.kind = FaultKind::kDataOpen, .value = 2},
                    .second = {.kind = FaultKind::kColourOrder,
                               .order = *light::ColourOrder::from("BGR")},
                    .certainty = 0.75000049},
      .also_possible =
          {{.fault = {.kind = FaultKind::kCountShort, .value = 3}, .second = {}, .certainty = 0.2},
           {.fault = {.kind = FaultKind::kLeadsExchanged, .value = 1},
            .second = {.kind = FaultKind::kColourOrder, .order = *light::ColourOrder::from("BGR")},
            .certainty = 1e-9}},
      .look_alike = 1,
      .questions = 4};
  const find::FindingWords words{.station = "A-B/1",
                                 .index = 2,
                                 .text = "The data stops after pixel 2.",
                                 .steps = {"Power off.", "Mend it."}};
  EXPECT_EQ(finding_line(rail_, finding, words),
            R"({"finding":{"fault":"data-open","value":"2",)"
            R"("and":{"fault":"colour-order","value":"BGR"},"index":2,"station":"A-B/1",)"
            R"("text":"The data stops after pixel 2.","do":"Power off. Mend it.","certainty":0.75,)"
            R"("also_possible":[{"fault":"count-short","value":"3","certainty":0.2},)"
            R"({"fault":"leads-exchanged","value":"sill",)"
            R"("and":{"fault":"colour-order","value":"BGR"},"certainty":0.0}]},"questions":4})");
}

TEST_F(FindJson, WhatAFindingHasNotIsEmptyOrNull) {
  const find::Finding finding{.likeliest = {.fault = {}, .second = {}, .certainty = 1},
                              .also_possible = {},
                              .questions = 2};
  EXPECT_EQ(finding_line(rail_, finding, {.text = "Nothing is wrong."}),
            R"({"finding":{"fault":"none","value":"","index":null,"station":null,)"
            R"("text":"Nothing is wrong.","do":"","certainty":1.0,"also_possible":[]},)"
            R"("questions":2})");
}

find::Said read(const char* line) {
  const auto said = read_answer_line(line);
  EXPECT_TRUE(said.ok()) << line;
  return said ? said.value() : find::Said{};
}

TEST(FindAnswerLine, IsAWordOrAListOfWords) {
  EXPECT_EQ(read(R"({"answer": "yes"})"), (find::Said{.words = {"yes"}}));
  EXPECT_EQ(read(R"({"answer":["A1","A1-B1/3"]})"),
            (find::Said{.words = {"A1", "A1-B1/3"}, .is_list = true}));
  EXPECT_EQ(read(R"({"answer":[]})"), (find::Said{.words = {}, .is_list = true}));
}

TEST(FindAnswerLine, MayHaveOtherMembers) {
  EXPECT_EQ(read(R"({"question": 3, "answer": "held"})"), (find::Said{.words = {"held"}}));
}

std::string refusal(const char* line) {
  const auto said = read_answer_line(line);
  return said ? "" : base::to_line(said.error().front());
}

TEST(FindAnswerLine, SaysWhatItShouldBe) {
  const std::string such = R"(; {"answer": "yes"} or {"answer": ["A1", "B2"]})";
  EXPECT_EQ(refusal(R"("yes")"), "this is no object with an answer" + such);
  EXPECT_EQ(refusal(R"({"answers": "yes"})"), "there is no \"answer\"" + such);
  EXPECT_EQ(refusal(R"({"answer": 3})"), "the answer is neither a word nor a list of words" + such);
  EXPECT_EQ(refusal(R"({"answer": null})"),
            "the answer is neither a word nor a list of words" + such);
  EXPECT_EQ(refusal(R"({"answer": ["A1", 3]})"), "the answer is no list of words" + such);
  EXPECT_NE(refusal("yes"), "");
  EXPECT_NE(refusal(""), "");
}

}  // namespace
}  // namespace panewalk::cli
