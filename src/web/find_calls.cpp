#include <array>
#include <limits>

#include "config/reader.hpp"
#include "site/told.hpp"
#include "web/calls.hpp"
#include "web/find_bodies.hpp"
#include "web/member_words.hpp"

namespace panewalk::web {
namespace {

/// Words of an answer: more stations than this nobody taps.
constexpr std::size_t kMostWords = 100;
constexpr std::size_t kLongestWord = 200;
constexpr std::size_t kLongestFrom = 200;

constexpr std::array kPlaces = {check::FindPlace::kBench, check::FindPlace::kYard};
constexpr std::array kRepairs = {check::Repair::kMended, check::Repair::kNotMended,
                                 check::Repair::kWasAnother};

Search& search_of(const Call& call) { return call.view->search(call.prop); }
const check::FindState& state_of(const Call& call) { return search_of(call).state; }

std::string path_of_find(const Call& call) {
  return "/api/find/" + call.view->plan->props[call.prop]->name;
}

int number_of(config::Object& object, const char* name, const std::string& needed) {
  const auto value = object.must(name, needed);
  return value ? config::whole(*value, 1, std::numeric_limits<int>::max()) : 1;
}
int find_of(config::Object& object) {
  return number_of(object, "find", "the number of the search");
}

std::string text_of(config::Object& object, const char* name, std::size_t most,
                    config::Words words) {
  const auto value = object.may(name);
  return value ? config::text(*value, 0, most, words) : std::string{};
}

/// A word, or a list of them.
find::Said said_of(const config::Value& value) {
  find::Said said;
  const auto word = [](const config::Value& each) {
    return config::text(each, 1, kLongestWord, config::Words::kLine);
  };
  if (value.node->kind == config::Node::Kind::kList) {
    said.is_list = true;
    for (const config::Value& each : config::list(value, "a list of words", 0, kMostWords)) {
      said.words.push_back(word(each));
    }
  } else if (value.node->kind == config::Node::Kind::kString) {
    said.words.push_back(word(value));
  } else {
    value.wrong_type("a word or a list of words");
  }
  return said;
}

bool truth_of(config::Object& object, const char* name) {
  const auto value = object.may(name);
  if (!value) return false;
  if (value->node->kind != config::Node::Kind::kBoolean) value->wrong_type("true or false");
  return value->node->truth;
}

/// What is lit is told apart by this where the light is told.
std::string region_of(int find, int question, std::optional<int> picture) {
  std::string text = "search " + std::to_string(find) + ", question " + std::to_string(question);
  if (picture) text += ", picture " + std::to_string(*picture);
  return text;
}

}  // namespace

Answer get_find(const Call& call) {
  return answered(find_body(search_of(call), call.view->may_accept));
}

Answer post_find_begin(const Call& call, const config::Tree& body) {
  config::Report report;
  config::Object object{{&body.root, "", &report}, "an object that says where the prop is"};
  const check::FindPlace place = one_of(object, "place", kPlaces);
  const std::string from = text_of(object, "from", kLongestFrom, config::Words::kLine);
  object.finish();
  if (!report.clean()) return {.response = refusal(400, report.take(body))};
  const practice::Subject subject = site::subject_of(*call.view->plan, call.prop);
  return recorded(call, {check::begin_find(subject, place, from)}, path_of_find(call));
}

Answer post_find_answer(const Call& call, const config::Tree& body) {
  config::Report report;
  config::Object object{{&body.root, "", &report}, "an object with the answer to a question"};
  const int find = find_of(object);
  const int question = number_of(object, "question", "the number of the question");
  find::Said said;
  if (const auto value = object.must("answer", "a word or a list of words")) said = said_of(*value);
  const check::Turn turn = truth_of(object, "again") ? check::Turn::kAgain : check::Turn::kOpen;
  object.finish();
  if (!report.clean()) return {.response = refusal(400, report.take(body))};
  Search& search = search_of(call);
  auto answer = check::answer_find(search.state, find, question, said, turn);
  if (!answer) return not_taken(answer.error());
  check::FindAnswer taken = std::move(answer).value();
  search.ahead = std::move(taken.after);
  return recorded(call, std::move(taken.events), path_of_find(call));
}

Answer post_find_show(const Call& call, const config::Tree& body) {
  config::Report report;
  config::Object object{{&body.root, "", &report}, "an object that names a question"};
  const int find = find_of(object);
  const int number = number_of(object, "question", "the number of the question");
  std::optional<int> picture;
  if (const auto value = object.may("picture")) {
    picture = config::whole(*value, 1, std::numeric_limits<int>::max());
  }
  object.finish();
  if (!report.clean()) return {.response = refusal(400, report.take(body))};
  const check::FindState& state = state_of(call);
  if (const auto another = check::another_search(state, find)) return not_taken(*another);
  const find::Question* const question = state.question(number);
  if (question == nullptr) {
    return refused(409, {.where = "/question",
                         .what = "question " + std::to_string(number) + " is not asked",
                         .remedy = "read the search anew"});
  }
  const std::size_t count = question->pictures.size();
  std::vector<find::Picture> pictures = question->pictures;
  if (picture) {
    if (static_cast<std::size_t>(*picture) > count) {
      return refused(400, {.where = "/picture",
                           .what = "there is no picture " + std::to_string(*picture),
                           .remedy = count == 1 ? "1" : "1 to " + std::to_string(count)});
    }
    pictures = {question->pictures[static_cast<std::size_t>(*picture) - 1]};
  }
  auto composed = engine::compose_pictures(*call.view->plan,
                                           {.prop = state.prop, .pictures = std::move(pictures)});
  if (!composed) return {.response = refusal(400, composed.error())};
  engine::Look look = std::move(composed).value();
  look.region = region_of(find, number, picture);
  return {.response = {.body = shown_body(state, number, picture, count)},
          .command = std::move(look)};
}

Answer post_find_repaired(const Call& call, const config::Tree& body) {
  config::Report report;
  config::Object object{{&body.root, "", &report}, "an object that says what became of it"};
  const int find = find_of(object);
  const check::Repair repair = one_of(object, "repair", kRepairs);
  const std::string fault = text_of(object, "fault", kLongestWord, config::Words::kLine);
  const std::string note = text_of(object, "note", check::kLongestNote, config::Words::kLines);
  object.finish();
  if (!report.clean()) return {.response = refusal(400, report.take(body))};
  const Search& search = search_of(call);
  auto events = check::repair_find(search.state, search.subject.subject, find, repair, fault, note);
  if (!events) return not_taken(events.error());
  return recorded(call, std::move(events).value(), path_of_find(call));
}

Answer post_find_accept(const Call& call, const config::Tree& body) {
  config::Report report;
  config::Object object{{&body.root, "", &report}, "an object that names the search"};
  const int find = find_of(object);
  object.finish();
  if (!report.clean()) return {.response = refusal(400, report.take(body))};
  const Search& search = search_of(call);
  if (const auto another = check::another_search(search.state, find)) return not_taken(*another);
  if (!search.correction) {
    return refused(409, {.where = "/find",
                         .what = "search " + std::to_string(find) + " of " + search.state.prop +
                                 " offers no correction of a file",
                         .remedy = "read the search anew"});
  }
  if (!call.view->may_accept) {
    return refused(409, {.what = "this program writes no file of the site",
                         .remedy = "panewalk find SITE " + search.state.prop + " --write"});
  }
  return {.response = {}, .command = Accept{*search.correction, path_of_find(call)}};
}

}  // namespace panewalk::web
