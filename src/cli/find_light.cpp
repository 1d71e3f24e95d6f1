#include "cli/find_light.hpp"

#include <unistd.h>

#include <algorithm>

#include "engine/settled.hpp"
#include "io/clock.hpp"

namespace panewalk::cli {
namespace {

using base::Duration;
using base::Instant;

constexpr Duration kPoll = std::chrono::milliseconds{10};
/// For what is sent to arrive and for the yard to show it: loopback takes less than a millisecond.
/// Looks and not time are counted, since a busy machine may not let the yard's thread run for long.
constexpr int kStillLooks = 15;
/// A picture fades in within 0.3 s, and the flash limiter may hold it for 0.64 s.
constexpr Duration kLongestWait = std::chrono::seconds{5};

}  // namespace

Listening::Listening(io::Signals& signals) : signals_{signals}, input_{STDIN_FILENO} {}

Listening::Heard Listening::wait(Duration timeout) {
  while (!interrupted_) {
    if (auto line = input_.next()) {
      line_ = std::move(*line);
      return Heard::kLine;
    }
    if (input_.ended()) return Heard::kEnd;
    switch (signals_.wait(timeout, true)) {
      case io::Signals::Woke::kSignal: interrupted_ = true; break;
      case io::Signals::Woke::kInput: input_.take(); break;
      case io::Signals::Woke::kTimeout: return Heard::kTimeout;
    }
  }
  return Heard::kEnd;
}

bool Listening::pause(Duration time) {
  if (signals_.wait(time) == io::Signals::Woke::kSignal) interrupted_ = true;
  return !interrupted_;
}

FindLight::FindLight(io::Session& session, std::shared_ptr<const engine::Plan> plan,
                     std::size_t prop, Listening& listening)
    : session_{session}, plan_{std::move(plan)}, prop_{prop}, listening_{listening} {}

void FindLight::ask(const find::Question& question) {
  look_ = engine::compose_pictures(
              *plan_, {.prop = plan_->props[prop_]->name, .pictures = question.pictures})
              .value();
  frames_ = engine::settled(plan_, *look_);
  light();
}

void FindLight::light() {
  // The stream has as many commands waiting as it takes only for a moment.
  while (!session_.light(*look_) && listening_.pause(kPoll)) {
  }
}

std::size_t FindLight::picture() const { return session_.live().status.props[prop_].beat; }

std::vector<std::string> FindLight::others_lit() const {
  std::vector<std::string> names;
  for (std::size_t i = 0; i < plan_->props.size(); ++i) {
    const auto shown = session_.shown(i);
    const bool lit = std::any_of(shown.begin(), shown.end(),
                                 [](light::Colour colour) { return !colour.dark(); });
    if (i != prop_ && lit) names.push_back(plan_->props[i]->name);
  }
  return names;
}

std::vector<std::vector<light::Colour>> FindLight::each_as_shown() {
  std::vector<std::vector<light::Colour>> all;
  light();  // from the first one on
  static_cast<void>(session_.step(engine::StepAsked::kHold));
  for (std::size_t i = 0; i < frames_.size(); ++i) {
    if (i > 0) static_cast<void>(session_.step(engine::StepAsked::kNext));
    if (!settle(i)) return all;
    all.push_back(shown());
  }
  static_cast<void>(session_.step(engine::StepAsked::kOn));
  return all;
}

bool FindLight::is_sent(std::size_t picture) {
  const engine::Status& status = session_.live().status;
  if (!status.props[prop_].lit || status.props[prop_].beat != picture) return false;
  const auto sent = status.sent.prop(prop_);
  for (std::size_t i = 0; i < sent.size(); ++i) {
    const std::size_t slot = plan_->patch.props[prop_].slot_of(base::PixelIndex::of(i + 1));
    if (sent[i] != frames_[picture][slot]) return false;
  }
  return true;
}

bool FindLight::settle(std::size_t picture) {
  const Instant start = io::now();
  std::vector<light::Colour> before;
  for (int still = 0; still < kStillLooks && io::now() - start < kLongestWait;) {
    auto now_shown = shown();
    still = is_sent(picture) && now_shown == before ? still + 1 : 0;
    before = std::move(now_shown);
    if (!listening_.pause(kPoll)) return false;
  }
  return true;
}

}  // namespace panewalk::cli
