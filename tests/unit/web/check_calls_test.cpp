#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "boathouse.hpp"
#include "web/api.hpp"

namespace panewalk::web {
namespace {

using nlohmann::json;
using test::Scene;

/// With the pattern that a step of the bench check lights.
std::shared_ptr<const engine::Plan> checked_boathouse() {
  auto plan = test::boathouse();
  plan->patterns.push_back({.name = "colour-roll",
                            .purpose = "Each colour in turn",
                            .look_for = "One colour after the other.",
                            .catches = {},
                            .steps = {{.action = pattern::LightStep{{{.target = "all"}}}}}});
  return plan;
}

/// The boathouse with a logbook whose entries a test writes.
struct Kept {
  Scene scene = {.plan = checked_boathouse()};
  std::vector<check::Entry> entries = {};
  base::Problems no_logbook = {};

  [[nodiscard]] Answer ask(const std::string& method, const std::string& target,
                           const std::string& body = "") const {
    View view = scene.view();
    view.entries = entries;
    view.newest_entry = static_cast<check::EntryNumber>(entries.size());
    view.no_logbook = no_logbook;
    return handle({.method = method,
                   .target = target,
                   .body = body,
                   .content_type = body.empty() ? "" : "application/json"},
                  view);
  }
  void write(check::Event event) {
    const auto number = static_cast<check::EntryNumber>(entries.size()) + 1;
    entries.push_back({number, 1'764'090'000 + number, "boathouse", std::move(event)});
  }
};

const Record& record_of(const Answer& answer) { return std::get<Record>(answer.command.value()); }

TEST(BenchCalls, TellsOfACheckThatNobodyBegan) {
  const Answer answer = Kept{}.ask("GET", "/api/bench/oar-rack");
  EXPECT_EQ(answer.response.status, 200);
  const json body = json::parse(answer.response.body);
  EXPECT_EQ(body.at("check"), nullptr);
  EXPECT_EQ(body.at("state"), "not begun");
  EXPECT_EQ(body.at("next"), nullptr);
  EXPECT_EQ(body.at("steps").size(), 13U);
}

TEST(BenchCalls, BeginIsRecordedAndThenAnsweredWithTheCheck) {
  const Answer answer = Kept{}.ask("POST", "/api/bench/oar-rack/begin");
  const auto& begun = std::get<check::BenchBegun>(record_of(answer).events.at(0));
  EXPECT_EQ(begun.prop, "oar-rack");
  EXPECT_EQ(record_of(answer).then, "/api/bench/oar-rack");
}

TEST(BenchCalls, AnAnswerIsRecordedWithItsNote) {
  Kept kept;
  kept.write(check::BenchBegun{.prop = "oar-rack"});
  const Answer answer =
      kept.ask("POST", "/api/bench/oar-rack/answer",
               R"({"check": 1, "step": "colour-order", "answer": "no", "note": "the other end"})");
  const check::BenchAnswered expected{.check = 1,
                                      .prop = "oar-rack",
                                      .step = "colour-order",
                                      .answer = check::Answer::kNo,
                                      .note = "the other end"};
  EXPECT_EQ(std::get<check::BenchAnswered>(record_of(answer).events.at(0)), expected);
}

TEST(BenchCalls, AnOlderCheckIsAConflict) {
  Kept kept;
  kept.write(check::BenchBegun{.prop = "oar-rack"});
  kept.write(check::BenchBegun{.prop = "oar-rack"});
  const Answer answer = kept.ask("POST", "/api/bench/oar-rack/answer",
                                 R"({"check": 1, "step": "colour-order", "answer": "yes"})");
  EXPECT_EQ(answer.response.status, 409);
  EXPECT_FALSE(answer.command);
}

TEST(BenchCalls, EveryFaultOfAnAnswerIsTold) {
  const Answer answer = Kept{}.ask("POST", "/api/bench/oar-rack/answer",
                                   R"({"check": 0, "answer": "perhaps", "nota": ""})");
  EXPECT_EQ(answer.response.status, 400);
  const json problems = json::parse(answer.response.body).at("problems");
  std::vector<std::string> places;
  for (const json& problem : problems) places.push_back(problem.at("where"));
  std::sort(places.begin(), places.end());
  EXPECT_EQ(places, (std::vector<std::string>{"/answer", "/check", "/nota", "/step"}));
}

TEST(BenchCalls, AnUnknownPropIsNotFound) {
  EXPECT_EQ(Kept{}.ask("GET", "/api/bench/boat").response.status, 404);
  EXPECT_EQ(Kept{}.ask("POST", "/api/bench/boat/begin").response.status, 404);
}

TEST(BenchCalls, NothingIsTakenWithoutALogbookAndItSaysWhy) {
  Kept kept;
  kept.no_logbook = {{.file = "/state/logbook.sqlite", .what = "the disk is full"}};
  const Answer answer = kept.ask("POST", "/api/bench/oar-rack/begin");
  EXPECT_EQ(answer.response.status, 503);
  EXPECT_EQ(json::parse(answer.response.body).at("problems").at(0).at("message"),
            "the disk is full");
  EXPECT_FALSE(answer.command);
  EXPECT_EQ(kept.ask("GET", "/api/bench/oar-rack").response.status, 200);
}

TEST(WalkCalls, WhatWasSeenIsRecordedAndAnsweredWithThePunchList) {
  Kept kept;
  const Answer begun = kept.ask("POST", "/api/walk/begin", R"({"by": "order"})");
  kept.write(record_of(begun).events.at(0));
  const Answer seen =
      kept.ask("POST", "/api/walk/answer",
               R"({"walk": 1, "prop": "lantern", "seen": "another prop", "other": "oar-rack"})");
  EXPECT_EQ(record_of(seen).then, "/api/walk");
  kept.write(record_of(seen).events.at(0));
  const json body = json::parse(kept.ask("GET", "/api/walk").response.body);
  EXPECT_EQ(body.at("state"), "open");
  EXPECT_EQ(body.at("next"), "oar-rack");
  EXPECT_EQ(body.at("stops").at(0).at("other"), "oar-rack");
  EXPECT_EQ(body.at("punch_list").at(0).at("what"), "oar-rack lit when lantern was asked for.");
}

TEST(WalkCalls, AWordThatIsNoneIsRefusedWithThoseThereAre) {
  const Answer answer = Kept{}.ask("POST", "/api/walk/begin", R"({"by": "colour"})");
  EXPECT_EQ(answer.response.status, 400);
  EXPECT_EQ(json::parse(answer.response.body).at("problems").at(0).at("where"), "/by");
}

TEST(LogbookCall, ListsTheNewestFirst) {
  Kept kept;
  kept.write(check::BenchBegun{.prop = "oar-rack"});
  kept.write(check::WalkBegun{.by = check::WalkBy::kOrder, .order = {"lantern"}});
  const json entries = json::parse(kept.ask("GET", "/api/logbook").response.body).at("entries");
  ASSERT_EQ(entries.size(), 2U);
  EXPECT_EQ(entries.at(0).at("kind"), "walk begun");
  EXPECT_EQ(entries.at(1).at("kind"), "bench begun");
}

}  // namespace
}  // namespace panewalk::web
