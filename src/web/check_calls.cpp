#include <array>
#include <limits>

#include "config/reader.hpp"
#include "logbook/export.hpp"
#include "web/calls.hpp"
#include "web/check_bodies.hpp"
#include "web/member_words.hpp"

namespace panewalk::web {
namespace {

constexpr std::size_t kLongestName = 40;  ///< as in the site's files
/// Of the newest entries; a page shows no more, `panewalk logbook` shows all.
constexpr std::size_t kMostEntries = 1000;

check::EntryNumber number_of(const config::Value& value) {
  return config::whole(value, 1, std::numeric_limits<int>::max());
}

std::string name_of(const config::Value& value) {
  return config::text(value, 1, kLongestName, config::Words::kLine);
}

std::string note_of(config::Object& object) {
  const auto note = object.may("note");
  return note ? config::text(*note, 0, check::kLongestNote, config::Words::kLines) : std::string{};
}

constexpr std::array kAnswers = {check::Answer::kYes, check::Answer::kNo, check::Answer::kUnsure,
                                 check::Answer::kSkipped};
constexpr std::array kSeen = {check::Seen::kAsDrawn, check::Seen::kAnother, check::Seen::kNothing,
                              check::Seen::kWrong};
constexpr std::array kWays = {check::WalkBy::kOrder, check::WalkBy::kNearest};

std::vector<check::Entry> entries_of(const Call& call) {
  return {call.view->entries.begin(), call.view->entries.end()};
}

std::string path_of_bench(const Call& call) {
  return "/api/bench/" + call.view->plan->props[call.prop]->name;
}

check::BenchState bench_of(const Call& call) {
  return check::bench_state(*call.view->plan, call.prop, entries_of(call));
}

check::WalkState walk_of(const Call& call) {
  return check::walk_state(*call.view->plan, entries_of(call));
}

}  // namespace

Answer get_bench(const Call& call) { return answered(bench_body(bench_of(call))); }

Answer post_bench_begin(const Call& call, const config::Tree& body) {
  if (auto refused = refused_members(body)) return *refused;
  return recorded(call, {check::begin_bench(*call.view->plan, call.prop)}, path_of_bench(call));
}

Answer post_bench_answer(const Call& call, const config::Tree& body) {
  config::Report report;
  config::Object object{{&body.root, "", &report}, "an object with the answer to a step"};
  check::EntryNumber check = 0;
  std::string step;
  if (const auto value = object.must("check", "the number of the check")) check = number_of(*value);
  if (const auto value = object.must("step", "the name of a step")) step = name_of(*value);
  const check::Answer answer = one_of(object, "answer", kAnswers);
  const std::string note = note_of(object);
  object.finish();
  if (!report.clean()) return {.response = refusal(400, report.take(body))};
  auto event = check::answer_bench(bench_of(call), check, step, answer, note);
  if (!event) return not_taken(event.error());
  return recorded(call, {std::move(event).value()}, path_of_bench(call));
}

Answer get_walk(const Call& call) { return answered(walk_body(walk_of(call))); }

Answer post_walk_begin(const Call& call, const config::Tree& body) {
  config::Report report;
  config::Object object{{&body.root, "", &report}, "an object that says how to walk"};
  const check::WalkBy by = one_of(object, "by", kWays);
  object.finish();
  if (!report.clean()) return {.response = refusal(400, report.take(body))};
  return recorded(call, {check::begin_walk(*call.view->plan, by)}, "/api/walk");
}

Answer post_walk_answer(const Call& call, const config::Tree& body) {
  config::Report report;
  config::Object object{{&body.root, "", &report}, "an object with what was seen"};
  check::EntryNumber walk = 0;
  std::string prop;
  std::string other;
  if (const auto value = object.must("walk", "the number of the walk")) walk = number_of(*value);
  if (const auto value = object.must("prop", "the name of a prop")) prop = name_of(*value);
  const check::Seen seen = one_of(object, "seen", kSeen);
  if (const auto value = object.may("other")) other = name_of(*value);
  const std::string note = note_of(object);
  object.finish();
  if (!report.clean()) return {.response = refusal(400, report.take(body))};
  auto event = check::answer_walk(walk_of(call), walk, prop, seen, other, note);
  if (!event) return not_taken(event.error());
  return recorded(call, {std::move(event).value()}, "/api/walk");
}

Answer get_logbook(const Call& call) {
  if (!call.view->no_logbook.empty()) return {.response = refusal(503, call.view->no_logbook)};
  std::vector<check::Entry> newest_first{call.view->entries.rbegin(), call.view->entries.rend()};
  if (newest_first.size() > kMostEntries) newest_first.resize(kMostEntries);
  return answered(logbook::entries_as_json(call.view->plan->site, newest_first));
}

}  // namespace panewalk::web
