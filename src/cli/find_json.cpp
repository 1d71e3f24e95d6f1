#include "cli/find_json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

#include "config/text.hpp"

namespace panewalk::cli {
namespace {

using Json = nlohmann::ordered_json;

constexpr config::Limits kAnswer{
    .bytes = 64U << 10U, .depth = 8, .values = 2000, .string_bytes = 1000};
constexpr const char* kSuchAnswers = R"({"answer": "yes"} or {"answer": ["A1", "B2"]})";

double to_millionth(double share) { return std::round(share * 1e6) / 1e6; }

Json frame_of(const std::vector<light::Colour>& colours, bool has_white) {
  Json frame = Json::array();
  for (const light::Colour colour : colours) {
    Json levels{colour.red, colour.green, colour.blue};
    if (has_white) levels.push_back(colour.white);
    frame.push_back(std::move(levels));
  }
  return frame;
}

Json fault_of(const practice::Subject& subject, const practice::Fault& fault) {
  return {{"fault", practice::to_text(fault.kind)}, {"value", value_text(subject, fault)}};
}

Json possible_of(const practice::Subject& subject, const find::Possible& possible) {
  Json json = fault_of(subject, possible.fault);
  if (possible.second.kind != practice::FaultKind::kNone) {
    json["and"] = fault_of(subject, possible.second);
  }
  return json;
}

std::string joined(const std::vector<std::string>& sentences) {
  std::string text;
  for (const std::string& sentence : sentences) text += (text.empty() ? "" : " ") + sentence;
  return text;
}

base::Problems refused(std::string what) {
  return {{.what = std::move(what), .remedy = kSuchAnswers}};
}

}  // namespace

std::string question_line(const practice::Subject& subject, const find::Question& question,
                          int number, const Frames& frames) {
  Json json = {{"question", number},
               {"ask", find::to_text(question.ask)},
               {"text", find::question_text(subject, question)},
               {"frames", Json::array()}};
  for (const auto& frame : frames) {
    json["frames"].push_back(frame_of(frame, subject.format.order.has_white()));
  }
  if (question.station) json["station"] = (*subject.frame)[*question.station].name;
  json["choices"] = find::choices(subject, question);
  return json.dump();
}

std::string finding_line(const practice::Subject& subject, const find::Finding& finding,
                         const find::FindingWords& words) {
  Json json = possible_of(subject, finding.likeliest);
  json["index"] = words.index == 0 ? Json{} : Json(words.index);
  json["station"] = words.station.empty() ? Json{} : Json(words.station);
  json["text"] = words.text;
  json["do"] = joined(words.steps);
  json["certainty"] = to_millionth(finding.likeliest.certainty);
  json["also_possible"] = Json::array();
  for (const find::Possible& possible : finding.also_possible) {
    Json also = possible_of(subject, possible);
    also["certainty"] = to_millionth(possible.certainty);
    json["also_possible"].push_back(std::move(also));
  }
  return Json{{"finding", std::move(json)}, {"questions", finding.questions}}.dump();
}

base::Result<find::Said> read_answer_line(std::string_view line) {
  const auto tree = config::read_text(line, kAnswer);
  if (!tree) {
    base::Problems problems = tree.error();
    for (base::Problem& problem : problems) {
      if (problem.remedy.empty()) problem.remedy = kSuchAnswers;
    }
    return problems;
  }
  using Kind = config::Node::Kind;
  const config::Node& root = tree.value().root;
  if (root.kind != Kind::kObject) return refused("this is no object with an answer");
  const config::Member* const member = root.find("answer");
  if (member == nullptr) return refused("there is no \"answer\"");
  const config::Node* const answer = &member->value;
  if (answer->kind == Kind::kString) return find::Said{.words = {answer->text}};
  find::Said said{.words = {}, .is_list = true};
  if (answer->kind != Kind::kList)
    return refused("the answer is neither a word nor a list of words");
  for (const config::Node& element : answer->elements) {
    if (element.kind != Kind::kString) return refused("the answer is no list of words");
    said.words.push_back(element.text);
  }
  return said;
}

}  // namespace panewalk::cli
