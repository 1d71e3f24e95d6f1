#include "web/find_bodies.hpp"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "base/utc.hpp"
#include "find/words.hpp"

namespace panewalk::web {
namespace {

// Keeps the order in which fields are given.
using Json = nlohmann::ordered_json;
using practice::FaultKind;

/// Notes are as people typed them; what is no UTF-8 becomes U+FFFD.
std::string body_of(const Json& json) {
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

Json text_or_null(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

Json time_or_null(const std::optional<std::int64_t>& seconds) {
  return seconds ? Json(base::utc_text(*seconds)) : Json(nullptr);
}

double share_of(double share) { return std::round(share * 1e4) / 1e4; }

Json said_json(const find::Said& said) {
  if (said.is_list) return said.words;
  return said.words.empty() ? Json(nullptr) : Json(said.words.front());
}

Json question_json(const Search& search) {
  const auto number = static_cast<int>(search.state.answers.size()) + 1;
  const find::Question* const question = search.state.question(number);
  if (question == nullptr) return nullptr;
  const practice::Subject& subject = search.subject.subject;
  Json station = nullptr;
  if (question->station) station = (*subject.frame)[*question->station].name;
  return {{"number", number},
          {"ask", find::to_text(question->ask)},
          {"text", find::question_text(subject, *question)},
          {"shown", question->shown},
          {"station", std::move(station)},
          {"choices", find::choices(subject, *question)},
          {"pictures", question->pictures.size()}};
}

Json answers_json(const check::FindState& state) {
  Json list = Json::array();
  for (const check::FindReply& reply : state.answers) {
    list.push_back({{"question", reply.recorded.question},
                    {"asked", reply.recorded.asked},
                    {"answer", said_json(reply.answer)},
                    {"at", base::utc_text(reply.at)}});
  }
  return list;
}

Json fault_json(const practice::Subject& subject, const practice::Fault& fault) {
  return {{"fault", practice::to_text(fault.kind)},
          {"value", practice::value_text(subject, fault)}};
}

Json second_or_null(const practice::Subject& subject, const practice::Fault& second) {
  return second.kind == FaultKind::kNone ? Json(nullptr) : fault_json(subject, second);
}

Json possible_json(const practice::Subject& subject, const find::Possible& possible) {
  Json json = fault_json(subject, possible.fault);
  json["and"] = second_or_null(subject, possible.second);
  json["certainty"] = share_of(possible.certainty);
  return json;
}

Json correction_json(const Search& search, bool may_accept) {
  if (!search.correction) return nullptr;
  return {{"file", search.correction->file},
          {"difference", search.correction->difference},
          {"why", search.correction->why},
          {"in_controller", search.correction->in_controller},
          {"may_accept", may_accept}};
}

Json finding_json(const Search& search, const find::Finding& finding, bool may_accept) {
  const practice::Subject& subject = search.subject.subject;
  const find::FindingWords words = find::words_for(subject, finding, search.subject.bright);
  Json also = Json::array();
  for (const find::Possible& each : finding.also_possible) {
    also.push_back(possible_json(subject, each));
  }
  const find::Possible& likeliest = finding.likeliest;
  return {{"fault", practice::to_text(likeliest.fault.kind)},
          {"value", practice::value_text(subject, likeliest.fault)},
          {"and", second_or_null(subject, likeliest.second)},
          {"index", words.index == 0 ? Json(nullptr) : Json(words.index)},
          {"station", text_or_null(words.station)},
          {"pixels", check::pixels_of(subject, likeliest.fault)},
          {"text", words.text},
          {"suspects", words.suspects},
          {"how_sure", words.how_sure},
          {"certainty", share_of(likeliest.certainty)},
          {"also", words.also},
          {"also_possible", std::move(also)},
          {"do", words.steps},
          {"confirm", words.confirm},
          {"misfits", finding.misfits},
          {"correction", correction_json(search, may_accept)}};
}

/// "data-open=17" in its parts.
Json recorded_fault(const std::string& fault) {
  const std::size_t equals = std::min(fault.find('='), fault.size());
  return {{"fault", fault.substr(0, equals)},
          {"value", fault.substr(std::min(equals + 1, fault.size()))}};
}

/// What was found on the site as it was then: its words may not fit any more.
Json finding_of_before(const check::FindConcluded& concluded) {
  std::string text = "Found before the site was changed: " + concluded.fault;
  if (!concluded.second.empty()) text += " and " + concluded.second;
  const Json found = recorded_fault(concluded.fault);
  return {{"fault", found["fault"]},
          {"value", found["value"]},
          {"and", concluded.second.empty() ? Json(nullptr) : recorded_fault(concluded.second)},
          {"index", concluded.index == 0 ? Json(nullptr) : Json(concluded.index)},
          {"station", text_or_null(concluded.station)},
          {"pixels", Json::array()},
          {"text", text + '.'},
          {"suspects", Json::array()},
          {"how_sure", ""},
          {"certainty", concluded.certainty / 1000.0},
          {"also", Json::array()},
          {"also_possible", Json::array()},
          {"do", Json::array()},
          {"confirm", "Begin again: the questions tell whether all is as described now."},
          {"misfits", Json::array()},
          {"correction", nullptr}};
}

Json finding_or_null(const Search& search, bool may_accept) {
  if (search.finding) return finding_json(search, *search.finding, may_accept);
  const check::FindState& state = search.state;
  return state.concluded ? finding_of_before(*state.concluded) : Json(nullptr);
}

Json repair_or_null(const check::FindState& state) {
  if (!state.repaired) return nullptr;
  return {{"repair", check::to_text(state.repaired->repair)},
          {"fault", text_or_null(state.repaired->fault)},
          {"note", state.repaired->note},
          {"at", time_or_null(state.repaired_at)}};
}

}  // namespace

std::string find_body(const Search& search, bool may_accept) {
  const check::FindState& state = search.state;
  return body_of({{"prop", state.prop},
                  {"find", state.find ? Json(*state.find) : Json(nullptr)},
                  {"progress", check::to_text(state.progress)},
                  {"stale", state.stale},
                  {"place", state.find ? Json(check::to_text(state.place)) : Json(nullptr)},
                  {"from", text_or_null(state.from)},
                  {"begun_at", time_or_null(state.begun_at)},
                  {"opening", find::opening(search.subject.subject)},
                  {"question", question_json(search)},
                  {"answers", answers_json(state)},
                  {"finding", finding_or_null(search, may_accept)},
                  {"repair", repair_or_null(state)}});
}

std::string shown_body(const check::FindState& state, int question, std::optional<int> picture,
                       std::size_t pictures) {
  return body_of({{"asked", "show"},
                  {"prop", state.prop},
                  {"find", *state.find},
                  {"question", question},
                  {"picture", picture ? Json(*picture) : Json(nullptr)},
                  {"pictures", pictures}});
}

}  // namespace panewalk::web
