#include <array>

#include "config/amounts.hpp"
#include "config/reader.hpp"
#include "web/bodies.hpp"
#include "web/calls.hpp"

namespace panewalk::web {
namespace {

using base::Problem;
using base::Problems;

/// More props than any site has; keeps an answer short.
constexpr std::size_t kMostProps = 1000;

std::string word_of(const config::Value& value) {
  return config::text(value, 1, 200, config::Words::kLine);
}

/// "30 %", or a share from 0 to 1.
light::Level level_of(const config::Value& value) {
  using Kind = config::Node::Kind;
  const config::Node& node = *value.node;
  if (node.kind == Kind::kString) return config::level(value);
  if (node.kind != Kind::kNumber) {
    value.wrong_type("a number from 0 to 1 or a level such as \"30 %\"");
  } else if (!(node.number >= 0 && node.number <= 1)) {
    value.refuse(config::found(node) + " is out of range", "from 0 to 1, or \"0 %\" to \"100 %\"");
  }
  return light::Level::of(node.number);
}

struct NamedProps {
  std::vector<std::string> names;
  bool is_list = false;
};

NamedProps props_of(config::Object& object) {
  NamedProps props;
  const auto named = object.one_of({"prop", "props"}, "no prop is named");
  if (!named) return props;
  if (named->first == "prop") {
    props.names.push_back(word_of(named->second));
    return props;
  }
  props.is_list = true;
  for (const config::Value& each :
       config::list(named->second, "a list of names of props", 1, kMostProps)) {
    props.names.push_back(word_of(each));
  }
  return props;
}

}  // namespace

Answer post_light(const Call& call, const config::Tree& tree) {
  config::Report report;
  config::Object object{{&tree.root, "", &report}, "an object that says what to light"};
  engine::LightAsked asked;
  const NamedProps props = props_of(object);
  asked.props = props.names;
  if (const auto pattern = object.must("pattern", "the name of a pattern")) {
    asked.pattern = word_of(*pattern);
  }
  if (const auto level = object.may("level")) asked.level = level_of(*level);
  if (const auto region = object.may("region")) asked.region = word_of(*region);
  object.finish();
  if (!report.clean()) return {.response = refusal(400, report.take(tree))};

  auto look = engine::compose(*call.view->plan, asked);
  if (!look) {
    Problems problems = std::move(look).error();
    for (Problem& problem : problems) {
      if (!props.is_list && problem.where == "/props/0") problem.where = "/prop";
    }
    return {.response = refusal(400, problems)};
  }
  std::string body = look_body(*call.view->plan, look.value());
  return {.response = {.body = std::move(body)}, .command = std::move(look).value()};
}

Answer post_step(const Call& call, const config::Tree& tree) {
  using engine::StepAsked;
  static const std::vector<std::string> kWords = {"next", "back", "hold", "on"};
  constexpr std::array kSteps = {StepAsked::kNext, StepAsked::kBack, StepAsked::kHold,
                                 StepAsked::kOn};
  config::Report report;
  config::Object object{{&tree.root, "", &report}, "an object that says which way to step"};
  std::optional<std::size_t> which;
  if (const auto go = object.must("go", "\"next\", \"back\", \"hold\" or \"on\"")) {
    which = config::choice(*go, kWords);
  }
  object.finish();
  if (!report.clean()) return {.response = refusal(400, report.take(tree))};
  if (!call.view->lit_asked) {
    return refused(409, {.what = "nothing is lit, so there is nothing to step through",
                         .remedy = "POST /api/light first"});
  }
  return {.response = {.body = step_body(kWords[*which])}, .command = kSteps[*which]};
}

Answer post_dark(const Call& /*call*/, const config::Tree& tree) {
  if (auto refused = refused_members(tree)) return *refused;
  return {.response = {.body = asked_body("dark")}, .command = Dark{}};
}

Answer post_release(const Call& /*call*/, const config::Tree& tree) {
  if (auto refused = refused_members(tree)) return *refused;
  return {.response = {.body = asked_body("release")}, .command = Release{}};
}

Answer get_light(const Call& call) { return answered(light_body(*call.view, Layout::kIndented)); }

Answer get_live(const Call& /*call*/) {
  Answer answer = refused(426, {.where = kLivePath,
                                .what = "only a WebSocket is served here",
                                .remedy = "GET /api/light has the same once"});
  answer.response.headers = {{"Upgrade", "websocket"}, {"Connection", "Upgrade"}};
  return answer;
}

}  // namespace panewalk::web
