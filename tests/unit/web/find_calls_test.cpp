#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "boathouse.hpp"
#include "site/told.hpp"
#include "support/builder.hpp"
#include "web/api.hpp"

namespace panewalk::web {
namespace {

using nlohmann::json;
using test::Scene;

const std::string kOarRack = "/api/find/oar-rack";

/// The boathouse with a logbook whose entries a test writes.
struct Searched {
  Scene scene;
  Searches searches;
  std::vector<check::Entry> entries;
  base::Problems no_logbook = {};
  bool may_accept = false;

  Answer ask(const std::string& method, const std::string& target, const std::string& body = "") {
    View view = scene.view();
    view.entries = entries;
    view.newest_entry = static_cast<check::EntryNumber>(entries.size());
    view.no_logbook = no_logbook;
    view.may_accept = may_accept;
    view.search = [this, view](std::size_t prop) -> Search& {
      return searches.of(*view.plan, nullptr, prop, view.entries, view.newest_entry);
    };
    return handle({.method = method,
                   .target = target,
                   .body = body,
                   .content_type = body.empty() ? "" : "application/json"},
                  view);
  }
  Answer post(const std::string& call, const json& body) {
    return ask("POST", kOarRack + '/' + call, body.dump());
  }
  /// Asks, and writes what is to be recorded; gives what is answered then.
  json kept(const std::string& call, const json& body) {
    const Answer answer = post(call, body);
    if (!answer.command) {
      ADD_FAILURE() << answer.response.body;
      return {};
    }
    const auto& record = std::get<Record>(*answer.command);
    for (const check::Event& event : record.events) write(event);
    return json::parse(ask("GET", record.then).response.body);
  }
  void write(check::Event event) {
    const auto number = static_cast<check::EntryNumber>(entries.size()) + 1;
    entries.push_back({number, 1'764'090'000 + number, "boathouse", std::move(event)});
  }
  /// As somebody answers who sees a prop with this fault.
  json search_to_the_end(const std::string& fault) {
    const practice::Subject subject = site::subject_of(*scene.plan, 0);
    const test::Builder builder{subject, fault};
    json now = kept("begin", {{"place", "bench"}, {"from", "bench ruler"}});
    while (!now.at("question").is_null()) {
      const int number = now.at("question").at("number");
      const Search& search = searches.of(*scene.plan, nullptr, 0, entries,
                                         static_cast<check::EntryNumber>(entries.size()));
      const find::Said said = builder.answer(*search.state.question(number));
      const json answer = json::parse(check::as_json(said));
      now = kept("answer", {{"find", now.at("find")}, {"question", number}, {"answer", answer}});
    }
    return now;
  }
};

/// Status and the problems, one a line.
std::string refusal_of(const Answer& answer) {
  EXPECT_FALSE(answer.command);
  std::string text = std::to_string(answer.response.status) + '\n';
  const json body = json::parse(answer.response.body);
  for (const json& problem : body.at("problems")) {
    text += problem.at("where").get<std::string>() + ": " +
            problem.at("message").get<std::string>() + "; " +
            problem.at("remedy").get<std::string>() + '\n';
  }
  return text;
}

/// With "words" for what the finder says: its wording and its strategy are its own affair.
std::string without_words(const std::string& body) {
  using Ordered = nlohmann::ordered_json;
  Ordered whole = Ordered::parse(body);
  const auto leave_out = [](Ordered& of) {
    for (const char* const name : {"opening", "text", "suspects", "how_sure", "certainty", "also",
                                   "also_possible", "do", "confirm"}) {
      if (!of.contains(name)) continue;
      EXPECT_FALSE(of[name].empty()) << name;
      of[name] = "words";
    }
  };
  leave_out(whole);
  if (whole.contains("question") && whole["question"].is_object()) leave_out(whole["question"]);
  return whole.dump(2);
}

TEST(FindCalls, TellASearchThatNobodyBegan) {
  const Answer answer = Searched{}.ask("GET", kOarRack);
  EXPECT_EQ(answer.response.status, 200);
  EXPECT_EQ(without_words(answer.response.body), R"({
  "prop": "oar-rack",
  "find": null,
  "progress": "not begun",
  "stale": false,
  "place": null,
  "from": null,
  "begun_at": null,
  "opening": "words",
  "question": null,
  "answers": [],
  "finding": null,
  "repair": null
})");
}

TEST(FindCalls, TellTheFirstQuestionOfASearch) {
  Searched searched;
  searched.kept("begin", {{"place", "yard"}, {"from", "walk"}});
  EXPECT_EQ(without_words(searched.ask("GET", kOarRack).response.body), R"({
  "prop": "oar-rack",
  "find": 1,
  "progress": "open",
  "stale": false,
  "place": "yard",
  "from": "walk",
  "begun_at": "2025-11-25T17:00:01Z",
  "opening": "words",
  "question": {
    "number": 1,
    "ask": "where",
    "text": "words",
    "shown": "pixels 1 to 4 in blue",
    "station": null,
    "choices": [
      "none",
      "unsure"
    ],
    "pictures": 1
  },
  "answers": [],
  "finding": null,
  "repair": null
})");
}

TEST(FindCalls, TellWhatWasFound) {
  Searched searched;
  searched.search_to_the_end("data-open=2");
  json body = json::parse(searched.ask("GET", kOarRack).response.body);
  EXPECT_GT(body.at("answers").size(), 1U);
  EXPECT_TRUE(body.at("question").is_null());
  const json finding = body.at("finding");
  EXPECT_GT(finding.at("certainty"), 0.4);
  EXPECT_EQ(finding.at("also_possible").size(), finding.at("also").size());
  EXPECT_EQ(without_words(finding.dump()), R"({
  "also": "words",
  "also_possible": "words",
  "and": null,
  "certainty": "words",
  "confirm": "words",
  "correction": null,
  "do": "words",
  "fault": "data-open",
  "how_sure": "words",
  "index": 2,
  "misfits": [],
  "pixels": [
    2,
    3
  ],
  "station": "A-B/2",
  "suspects": "words",
  "text": "words",
  "value": "2"
})");
}

TEST(FindCalls, BeginIsRecordedWithWhereItCameFrom) {
  const Answer answer = Searched{}.post("begin", {{"place", "yard"}, {"from", "walk"}});
  const auto& record = std::get<Record>(answer.command.value());
  ASSERT_EQ(record.events.size(), 1U);
  const auto& begun = std::get<check::FindBegun>(record.events.front());
  EXPECT_EQ(begun.described.size(), 16U);  // a mark of the description, compared elsewhere
  const check::FindBegun expected{"oar-rack", check::FindPlace::kYard, "walk", begun.described};
  EXPECT_EQ(begun, expected);
  EXPECT_EQ(record.then, kOarRack);
}

TEST(FindCalls, BeginLightsNothingAndAsksForNothingTwice) {
  Searched searched;
  searched.kept("begin", {{"place", "bench"}});
  const Search& first = searched.searches.of(*searched.scene.plan, nullptr, 0, searched.entries, 1);
  const find::Question* const question = first.state.question(1);
  searched.ask("GET", kOarRack);
  searched.ask("GET", kOarRack);
  const Search& again = searched.searches.of(*searched.scene.plan, nullptr, 0, searched.entries, 1);
  EXPECT_EQ(again.state.question(1), question);
}

TEST(FindCalls, AnAnswerMayTakeThePlaceOfAnEarlierOne) {
  Searched searched;
  searched.kept("begin", {{"place", "bench"}});
  searched.kept("answer", {{"find", 1}, {"question", 1}, {"answer", "unsure"}});
  searched.kept("answer", {{"find", 1}, {"question", 2}, {"answer", "unsure"}});
  const json body = searched.kept(
      "answer", {{"find", 1}, {"question", 1}, {"answer", "unsure"}, {"again", true}});
  EXPECT_EQ(body.at("answers").size(), 1U);
  EXPECT_EQ(body.at("answers").at(0).at("at"), "2025-11-25T17:00:04Z");
  EXPECT_EQ(body.at("question").at("number"), 2);
}

TEST(FindCalls, ShowLightsThePicturesOfAQuestion) {
  Searched searched;
  searched.kept("begin", {{"place", "bench"}});
  const Answer answer = searched.post("show", {{"find", 1}, {"question", 1}});
  EXPECT_EQ(answer.response.body, R"({
  "asked": "show",
  "prop": "oar-rack",
  "find": 1,
  "question": 1,
  "picture": null,
  "pictures": 1
}
)");
  const auto& look = std::get<engine::Look>(answer.command.value());
  EXPECT_EQ(look.pattern, "finder");
  EXPECT_EQ(look.region, "search 1, question 1");
  EXPECT_EQ(look.lit.front().prop, 0U);
}

TEST(FindCalls, ShowLightsOnePictureOfSeveral) {
  Searched searched;
  json now = searched.kept("begin", {{"place", "bench"}});
  while (now.at("question").at("pictures") < 2) {
    now = searched.kept(
        "answer",
        {{"find", 1}, {"question", now.at("question").at("number")}, {"answer", "unsure"}});
  }
  const int number = now.at("question").at("number");
  const Answer answer = searched.post("show", {{"find", 1}, {"question", number}, {"picture", 2}});
  const auto& look = std::get<engine::Look>(answer.command.value());
  EXPECT_EQ(look.lit.front().beats(), 1U);
  EXPECT_EQ(look.region, "search 1, question " + std::to_string(number) + ", picture 2");
  const json body = json::parse(answer.response.body);
  EXPECT_EQ(body.at("picture"), 2);
  EXPECT_EQ(body.at("pictures"), now.at("question").at("pictures"));
  EXPECT_EQ(refusal_of(searched.post("show", {{"find", 1}, {"question", number}, {"picture", 9}})),
            "400\n/picture: there is no picture 9; 1 to 2\n");
}

TEST(FindCalls, WhatBecameOfAFindingIsRecorded) {
  Searched searched;
  searched.search_to_the_end("data-open=2");
  const json body = searched.kept("repaired", {{"find", 1},
                                               {"repair", "was another fault"},
                                               {"fault", "data-open=1"},
                                               {"note", "the wire before it"}});
  EXPECT_EQ(body.at("repair").at("repair"), "was another fault");
  EXPECT_EQ(body.at("repair").at("fault"), "data-open=1");
  EXPECT_EQ(body.at("repair").at("note"), "the wire before it");
  EXPECT_EQ(body.at("repair").at("at"), body.at("begun_at").get<std::string>().substr(0, 17) + "0" +
                                            std::to_string(searched.entries.size()) + "Z");
}

TEST(FindCalls, EveryFaultOfABodyIsTold) {
  Searched searched;
  EXPECT_EQ(refusal_of(searched.post("begin", {{"place", "roof"}, {"form", "walk"}})),
            "400\n/form: unknown name; did you mean \"from\"?\n/place: \"roof\" is not known; "
            "allowed: \"bench\" or \"yard\"\n");
  EXPECT_EQ(refusal_of(searched.post("answer", {{"find", 0}, {"answer", 3}, {"again", "yes"}})),
            "400\n/question: missing; the number of the question\n/again: found the text \"yes\"; "
            "true or false is needed\n/answer: found the number 3; a word or a list of words is "
            "needed\n/find: 0 is out of range; from 1 to 2147483647\n");
  EXPECT_EQ(
      refusal_of(searched.post("answer", {{"find", 1}, {"question", 1}, {"answer", {"A", 2}}})),
      "400\n/answer/1: found the number 2; a text in double quotes is needed\n");
  EXPECT_EQ(refusal_of(searched.post("show", {{"picture", 0}})),
            "400\n/find: missing; the number of the search\n/question: missing; the number of the "
            "question\n/picture: 0 is out of range; from 1 to 2147483647\n");
  EXPECT_EQ(refusal_of(searched.post("repaired", {{"find", 1}, {"repair", "soldered"}})),
            "400\n/repair: \"soldered\" is not known; allowed: \"mended\", \"not mended\" or \"was "
            "another fault\"\n");
  EXPECT_EQ(refusal_of(searched.post("accept", json::object())),
            "400\n/find: missing; the number of the search\n");
}

TEST(FindCalls, AnotherSearchOrQuestionIsAConflict) {
  Searched searched;
  EXPECT_EQ(refusal_of(searched.post("show", {{"find", 1}, {"question", 1}})),
            "409\n/find: no search of oar-rack was begun; begin one\n");
  searched.kept("begin", {{"place", "bench"}});
  EXPECT_EQ(refusal_of(searched.post("show", {{"find", 7}, {"question", 1}})),
            "409\n/find: search 7 of oar-rack is not the newest one; the newest is 1; somebody "
            "began again; read the search anew\n");
  EXPECT_EQ(refusal_of(searched.post("show", {{"find", 1}, {"question", 2}})),
            "409\n/question: question 2 is not asked; read the search anew\n");
  EXPECT_EQ(refusal_of(searched.post("answer", {{"find", 7}, {"question", 1}, {"answer", "yes"}})),
            "409\n/find: search 7 of oar-rack is not the newest one; the newest is 1; somebody "
            "began again; read the search anew\n");
  EXPECT_EQ(refusal_of(searched.post("answer", {{"find", 1}, {"question", 2}, {"answer", "yes"}})),
            "409\n/question: question 2 is not open; question 1 is; read the search anew\n");
  EXPECT_EQ(refusal_of(searched.post("answer", {{"find", 1}, {"question", 1}, {"answer", "boat"}})),
            "400\n/answer: no station is named \"boat\"; names are as on the drawing, such as "
            "\"A\" or \"A-B/1\"\n");
  EXPECT_EQ(refusal_of(searched.post("repaired", {{"find", 1}, {"repair", "mended"}})),
            "409\n/find: search 1 of oar-rack has found nothing yet; answer its questions first\n");
  EXPECT_EQ(refusal_of(searched.post("accept", {{"find", 7}})),
            "409\n/find: search 7 of oar-rack is not the newest one; the newest is 1; somebody "
            "began again; read the search anew\n");
  EXPECT_EQ(
      refusal_of(searched.post("accept", {{"find", 1}})),
      "409\n/find: search 1 of oar-rack offers no correction of a file; read the search anew\n");
}

TEST(FindCalls, NothingIsTakenWithoutALogbookAndItSaysWhy) {
  Searched searched;
  searched.no_logbook = {{.file = "/state/logbook.sqlite", .what = "the disk is full"}};
  EXPECT_EQ(refusal_of(searched.post("begin", {{"place", "bench"}})),
            "503\n: the disk is full; \n");
  EXPECT_EQ(searched.ask("GET", kOarRack).response.status, 200);
}

TEST(FindCalls, WhatWasFoundOnAnotherSiteIsToldAsItWasWritten) {
  Searched searched;
  searched.write(check::FindBegun{.prop = "oar-rack"});
  searched.write(check::FindAnswered{.find = 1,
                                     .prop = "oar-rack",
                                     .question = 1,
                                     .asked = "same: what nobody asks now",
                                     .answer = "\"no\""});
  searched.write(check::FindConcluded{.find = 1,
                                      .prop = "oar-rack",
                                      .fault = "data-open=17",
                                      .second = "mirrored",
                                      .station = "B2",
                                      .index = 17,
                                      .certainty = 873,
                                      .questions = 1});
  nlohmann::ordered_json body =
      nlohmann::ordered_json::parse(searched.ask("GET", kOarRack).response.body);
  body.erase("opening");
  EXPECT_EQ(body.dump(2), R"({
  "prop": "oar-rack",
  "find": 1,
  "progress": "done",
  "stale": true,
  "place": "bench",
  "from": null,
  "begun_at": "2025-11-25T17:00:01Z",
  "question": null,
  "answers": [
    {
      "question": 1,
      "asked": "same: what nobody asks now",
      "answer": "no",
      "at": "2025-11-25T17:00:02Z"
    }
  ],
  "finding": {
    "fault": "data-open",
    "value": "17",
    "and": {
      "fault": "mirrored",
      "value": ""
    },
    "index": 17,
    "station": "B2",
    "pixels": [],
    "text": "Found before the site was changed: data-open=17 and mirrored.",
    "suspects": [],
    "how_sure": "",
    "certainty": 0.873,
    "also": [],
    "also_possible": [],
    "do": [],
    "confirm": "Begin again: the questions tell whether all is as described now.",
    "misfits": [],
    "correction": null
  },
  "repair": null
})");
}

TEST(FindCalls, AnUnknownPropIsNotFound) {
  EXPECT_EQ(Searched{}.ask("GET", "/api/find/boat").response.status, 404);
  EXPECT_EQ(Searched{}.ask("POST", "/api/find/boat/begin").response.status, 404);
}

}  // namespace
}  // namespace panewalk::web
