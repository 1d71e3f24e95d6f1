#include "config/describe_pattern.hpp"

#include "base/nearest.hpp"
#include "config/amounts.hpp"
#include "pattern/region.hpp"
#include "pattern/words.hpp"

namespace panewalk::config {
namespace {

using pattern::Paint;
using pattern::Step;

constexpr std::size_t kMostSteps = 200;
constexpr std::size_t kMostPaints = 100;
constexpr std::size_t kMostColours = 32;
constexpr std::size_t kLongestSaying = 400;
constexpr int kMostTail = 20;
constexpr int kFastestPace = 10;  // pixels a second; the eye still follows
constexpr int kMostEvery = 1000;
constexpr Allowed<base::Duration> kHold{std::chrono::milliseconds{200}, std::chrono::minutes{10},
                                        true, "from 200 ms to 10 min"};
// Slower than any flash limit asks for: a place to find, not an alarm.
constexpr Allowed<base::Duration> kPeriod{std::chrono::seconds{2}, std::chrono::minutes{1}, true,
                                          "from 2 s to 1 min"};

const std::vector<std::string>& family_names() {
  static const std::vector<std::string> kNames{"panes",     "runs",     "splices", "seams",
                                               "bars",      "uprights", "levels",  "sections",
                                               "universes", "pixels"};
  return kNames;
}

enum class Target { kRegion, kFamily, kEither };

std::string target(const Value& value, Target wanted) {
  if (value.node->kind != Node::Kind::kString) {
    value.wrong_type(wanted == Target::kFamily ? R"(a family such as "panes")"
                                               : R"(a region such as "outline")");
    return {};
  }
  const std::string& words = value.node->text;
  const bool family = pattern::is_family(words);
  if (wanted == Target::kFamily && !family) {
    value.refuse(base::quoted(words) + " is no family", base::name_hint(words, family_names()));
  } else if (wanted == Target::kRegion && family) {
    value.refuse(base::quoted(words) + " is a family, not a region",
                 "in \"light\" a family stands under \"each\"");
  } else if (!family) {
    if (const auto read = pattern::read_words(words); !read.ok()) {
      value.refuse(read.error().what, read.error().remedy);
    }
  }
  return words;
}

pattern::ColourName colour(const Value& value) {
  return static_cast<pattern::ColourName>(choice(value, colour_names()).value_or(0));
}

/// What a paint is besides its target.
void read_paint(Object& object, Paint& paint) {
  if (const auto one = object.one_at_most({"colour", "colours"})) {
    paint.colours.clear();
    if (one->first == "colour") {
      paint.colours.push_back(colour(one->second));
    } else {
      for (const Value& each : list(one->second, "a list of colours", 1, kMostColours)) {
        paint.colours.push_back(colour(each));
      }
    }
  }
  if (const auto v = object.may("by")) {
    paint.by = static_cast<pattern::By>(choice(*v, by_names()).value_or(0));
  }
  if (const auto v = object.may("level")) paint.level = level(*v);
  if (const auto v = object.may("every")) paint.every = whole(*v, 1, kMostEvery);
}

pattern::LightStep read_light(const Value& value) {
  pattern::LightStep step;
  const std::string needed = R"(a list of paints such as { "region": "outline", "colour": "red" })";
  for (const Value& one : list(value, needed, 1, kMostPaints)) {
    Paint paint;
    Object object{one, R"(a paint such as { "region": "outline", "colour": "red" })"};
    if (const auto at = object.one_of({"region", "each"}, "nothing says where")) {
      paint.target = target(at->second, at->first == "each" ? Target::kFamily : Target::kRegion);
    }
    read_paint(object, paint);
    object.finish();
    step.paints.push_back(std::move(paint));
  }
  return step;
}

pattern::MoveStep read_move(Object& object, const Value& region) {
  pattern::MoveStep step;
  step.paint.target = target(region, Target::kRegion);
  read_paint(object, step.paint);
  if (const auto v = object.may("tail")) step.tail = whole(*v, 0, kMostTail);
  if (const auto v = object.may("pace")) step.pixels_per_second = rate(*v, 1, kFastestPace);
  return step;
}

pattern::RampStep read_ramp(Object& object, const Value& region) {
  pattern::RampStep step;
  step.paint.target = target(region, Target::kEither);
  read_paint(object, step.paint);
  if (const auto v = object.may("from")) step.from = level(*v);
  if (const auto v = object.may("to")) step.to = level(*v);
  return step;
}

pattern::PulseStep read_pulse(Object& object, const Value& region) {
  pattern::PulseStep step;
  step.paint.target = target(region, Target::kRegion);
  read_paint(object, step.paint);
  if (const auto v = object.may("period")) step.period = duration(*v, kPeriod);
  return step;
}

Step read_step(const Value& value) {
  Step step;
  Object object{value, "a step, as an object,"};
  const auto verb =
      object.one_of({"light", "one_by_one", "move", "ramp", "pulse"}, "a step without a verb");
  if (verb) {
    const auto& [name, of_verb] = *verb;
    if (name == "light") step.action = read_light(of_verb);
    if (name == "move") step.action = read_move(object, of_verb);
    if (name == "ramp") step.action = read_ramp(object, of_verb);
    if (name == "pulse") step.action = read_pulse(object, of_verb);
    if (name == "one_by_one") {
      pattern::OneByOneStep one_by_one;
      one_by_one.paint.target = target(of_verb, Target::kFamily);
      read_paint(object, one_by_one.paint);
      step.action = std::move(one_by_one);
    }
  }
  if (const auto v = object.may("hold")) {
    if (verb && verb->first == "move") {
      object.refuse_name("hold", "\"hold\" beside \"move\"", "a move has its own \"pace\"");
    } else if (v->node->kind == Node::Kind::kString && v->node->text == "until confirmed") {
      step.hold.reset();
    } else {
      step.hold = duration(*v, kHold);
    }
  }
  if (const auto v = object.may("say")) step.say = text(*v, 1, kLongestSaying, Words::kLine);
  // Without a verb nobody can say which names belong.
  if (verb) object.finish();
  return step;
}

}  // namespace

const std::vector<std::string>& colour_names() {
  static const std::vector<std::string> kNames{"black",  "red",  "green",   "blue",  "white",
                                               "yellow", "cyan", "magenta", "orange"};
  return kNames;
}

const std::vector<std::string>& by_names() {
  static const std::vector<std::string> kNames{"member", "pixel", "ten"};
  return kNames;
}

base::Result<pattern::PatternDescription> describe_pattern(const Tree& tree) {
  Report report;
  pattern::PatternDescription pattern;
  Object object{{&tree.root, "", &report}, "a pattern file, which is an object,"};
  read_format(object);
  if (const auto v = object.must("pattern", "the name of the pattern")) pattern.name = name(*v);
  if (const auto v = object.must("purpose", "one line: what it is for")) {
    pattern.purpose = text(*v, 1, kLongestSaying, Words::kLine);
  }
  if (const auto v = object.must("look_for", "what the builder should see")) {
    pattern.look_for = text(*v, 1, kLongestSaying, Words::kLine);
  }
  if (const auto v = object.may("catches")) {
    for (const Value& one : list(*v, "a list of faults in words", 0, kMostPaints)) {
      pattern.catches.push_back(text(one, 1, kLongestSaying, Words::kLine));
    }
  }
  if (const auto v = object.must("steps", "a list of one or more steps")) {
    for (const Value& one : list(*v, "a list of steps", 1, kMostSteps)) {
      pattern.steps.push_back(read_step(one));
    }
  }
  object.finish();
  if (!report.clean()) return report.take(tree);
  return pattern;
}

}  // namespace panewalk::config
