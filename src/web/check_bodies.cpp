#include "web/check_bodies.hpp"

#include <nlohmann/json.hpp>

#include "base/utc.hpp"

namespace panewalk::web {
namespace {

// Keeps the order in which fields are given.
using Json = nlohmann::ordered_json;

/// Notes are as people typed them; what is no UTF-8 becomes U+FFFD.
std::string body_of(const Json& json) {
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

template <class T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}

template <class T>
Json word_or_null(const std::optional<T>& value) {
  return value ? Json(check::to_text(*value)) : Json(nullptr);
}

Json time_or_null(const std::optional<std::int64_t>& seconds) {
  return seconds ? Json(base::utc_text(*seconds)) : Json(nullptr);
}

Json step_json(const check::BenchStepState& state) {
  const check::BenchStep& step = state.asked;
  return {{"step", step.step},
          {"title", step.title},
          {"pattern", step.pattern},
          {"region", or_null(step.region)},
          {"beat", or_null(step.beat)},
          {"level", step.level.share()},
          {"look_for", step.look_for},
          {"question", step.question},
          {"cautions", Json(step.cautions)},
          {"fits", step.fits()},
          {"why_not", or_null(step.why_not)},
          {"answer", word_or_null(state.answer)},
          {"note", state.note},
          {"at", time_or_null(state.at)}};
}

Json stop_json(const check::WalkStop& stop) {
  return {{"prop", stop.prop},
          {"about", stop.about},
          {"controller", stop.controller},
          {"universe", stop.universe},
          {"seen", word_or_null(stop.seen)},
          {"other", stop.other.empty() ? Json(nullptr) : Json(stop.other)},
          {"note", stop.note},
          {"at", time_or_null(stop.at)}};
}

}  // namespace

std::string bench_body(const check::BenchState& state) {
  Json steps = Json::array();
  for (const check::BenchStepState& step : state.steps) steps.push_back(step_json(step));
  return body_of({{"prop", state.prop},
                  {"check", or_null(state.check)},
                  {"state", check::to_text(state.progress)},
                  {"begun_at", time_or_null(state.begun_at)},
                  {"steps", std::move(steps)},
                  {"next", or_null(state.next)},
                  {"differs", Json(state.differs)}});
}

std::string walk_body(const check::WalkState& state) {
  Json stops = Json::array();
  for (const check::WalkStop& stop : state.stops) stops.push_back(stop_json(stop));
  Json punch_list = Json::array();
  for (const check::PunchItem& item : state.punch_list) {
    punch_list.push_back({{"prop", item.prop}, {"what", item.what}, {"check", Json(item.check)}});
  }
  return body_of({{"walk", or_null(state.walk)},
                  {"state", check::to_text(state.progress)},
                  {"by", word_or_null(state.by)},
                  {"begun_at", time_or_null(state.begun_at)},
                  {"stops", std::move(stops)},
                  {"next", or_null(state.next)},
                  {"punch_list", std::move(punch_list)},
                  {"notes", Json(state.notes)}});
}

}  // namespace panewalk::web
