#include "engine/engine.hpp"

#include <algorithm>

#include "power/load.hpp"

namespace panewalk::engine {
namespace {

/// A cut between two pictures is softened into a fade: 0.3 s, common practice, no source.
constexpr Duration kFade = std::chrono::milliseconds{300};

/// The pixels of each prop, then the hidden chips of each.
std::vector<std::size_t> with_hidden(const Plan& plan) {
  std::vector<std::size_t> counts = plan.pixel_counts();
  const std::size_t props = counts.size();
  for (std::size_t i = 0; i < props; ++i) {
    counts.push_back(plan.patch.props[i].chips() - counts[i]);
  }
  return counts;
}

void copy_prop(const light::SafeFrame& from, light::Canvas& to, std::size_t prop) {
  const auto source = from.prop(prop);
  std::copy(source.begin(), source.end(), to.prop(prop).begin());
}

}  // namespace

Engine::Engine(std::shared_ptr<const Plan> plan, const Identity& identity)
    : plan_{std::move(plan)}, rows_{*plan_, identity} {
  const std::vector<std::size_t> pixels = plan_->pixel_counts();
  const std::vector<std::size_t> stretches = with_hidden(*plan_);
  wanted_ = light::Canvas{stretches};
  fade_from_ = light::Canvas{stretches};
  limiter_ = light::FlashLimiter{stretches};
  playing_.resize(pixels.size());
  loads_.resize(pixels.size());
  supplies_.resize(plan_->controllers.size());
  clocks_.resize(plan_->controllers.size());
  due_.resize(plan_->controllers.size());
  pending_.resize(plan_->controllers.size());
  for (std::size_t i = 0; i < clocks_.size(); ++i) {
    clocks_[i].period = Duration{std::chrono::seconds{1}} / plan_->controllers[i].frames_per_second;
    if (plan_->controllers[i].supply) supplies_[i].most = plan_->controllers[i].supply->amps;
  }
  guards_.resize(pixels.size());
  volts_factor_.resize(pixels.size(), 1);
  for (std::size_t prop = 0; prop < plan_->props.size(); ++prop) {
    const PlannedProp& planned = *plan_->props[prop];
    const auto& supply = plan_->controllers[plan_->patch.props[prop].controller()].supply;
    if (!supply || planned.network.pixels() == 0) continue;
    guards_[prop] = power::VoltsGuard{planned.network, planned.pixel_power, supply->volts,
                                      plan_->patch.props[prop].order().channels()};
  }
}

void Engine::start(Instant now) {
  for (Clock& clock : clocks_) clock.next = now;
  next_ = now;
  now_ = now;
}

std::uint64_t Engine::catch_up(Instant now) {
  Duration::rep missed = 0;
  for (Clock& clock : clocks_) {
    if (now < clock.next + clock.period) continue;
    const Duration::rep behind = (now - clock.next) / clock.period;
    clock.next += behind * clock.period;
    missed = std::max(missed, behind);
  }
  find_next();
  return static_cast<std::uint64_t>(missed);
}

void Engine::find_next() {
  if (clocks_.empty()) return;
  next_ = std::min_element(clocks_.begin(), clocks_.end(), [](const Clock& a, const Clock& b) {
            return a.next < b.next;
          })->next;
}

void Engine::light(std::shared_ptr<const Look>& look, Instant now) {
  look_.swap(look);
  ++looks_;
  look_since_ = now;
  const light::SafeFrame shown = limiter_.last();
  for (std::size_t prop = 0; prop < shown.props(); ++prop) copy_prop(shown, fade_from_, prop);
  for (Playing& playing : playing_) playing = {.since = now};
  mode_ = Mode::kLit;
  rows_.wake();
}

void Engine::dark() {
  mode_ = Mode::kDark;
  rows_.wake();
}

void Engine::release() {
  if (mode_ == Mode::kSilent || mode_ == Mode::kReleasing) return;
  mode_ = Mode::kReleasing;
  rows_.begin_release();
}

pattern::Beat Engine::beat_of(std::size_t lit, Instant now) const {
  const Playing& playing = playing_[lit];
  const Look::Lit& shown = look_->lit[lit];
  const Duration since = now > playing.since ? now - playing.since : Duration{0};
  if (!playing.by_hand) return shown.at(since, playing.beat);
  pattern::Beat beat = shown.beat(playing.beat);
  beat.into = playing.frozen.value_or(since);
  return beat;
}

void Engine::step(StepAsked asked, Instant now) {
  if (mode_ != Mode::kLit) return;
  for (std::size_t i = 0; i < look_->lit.size(); ++i) {
    const pattern::Beat beat = beat_of(i, now);
    const std::size_t number = look_->lit[i].number(beat);
    const std::size_t beats = look_->lit[i].beats();
    Playing& playing = playing_[i];
    switch (asked) {
      case StepAsked::kHold:
        playing = {.beat = number, .since = now, .by_hand = true, .frozen = beat.into};
        break;
      case StepAsked::kNext:
        playing = {.beat = (number + 1) % beats, .since = now, .by_hand = true};
        break;
      case StepAsked::kBack:
        playing = {.beat = (number + beats - 1) % beats, .since = now, .by_hand = true};
        break;
      case StepAsked::kOn:
        // A beat that waits is left only by "next".
        playing = {.beat = number, .since = now - beat.into, .by_hand = false};
        break;
    }
  }
}

void Engine::mark_due(Instant now) {
  for (std::size_t i = 0; i < clocks_.size(); ++i) {
    due_[i] = clocks_[i].next <= now;
    if (due_[i]) clocks_[i].next += clocks_[i].period;
    if (due_[i]) pending_[i] = true;
  }
  find_next();
}

void Engine::paint(Instant now) {
  const light::SafeFrame shown = limiter_.last();
  std::size_t next_lit = 0;
  for (std::size_t prop = 0; prop < plan_->props.size(); ++prop) {
    std::optional<std::size_t> lit;
    if (next_lit < look_->lit.size() && look_->lit[next_lit].prop == prop) lit = next_lit++;
    if (pending_[plan_->patch.props[prop].controller()]) {
      paint_prop(prop, lit, now);
    } else {
      copy_prop(shown, wanted_, prop);
      copy_prop(shown, wanted_, hidden_of(prop));
    }
  }
}

void Engine::paint_prop(std::size_t prop, std::optional<std::size_t> lit, Instant now) {
  const auto pixels = wanted_.prop(prop);
  const auto hidden = wanted_.prop(hidden_of(prop));
  if (lit) {
    look_->lit[*lit].paint(beat_of(*lit, now), pixels, hidden);
  } else {
    std::ranges::fill(pixels, light::kBlack);
    std::ranges::fill(hidden, light::kBlack);
  }
  fade_in(fade_from_.prop(prop), pixels, now);
  fade_in(fade_from_.prop(hidden_of(prop)), hidden, now);
}

void Engine::fade_in(std::span<const light::Colour> before, std::span<light::Colour> colours,
                     Instant now) const {
  if (now - look_since_ >= kFade) return;
  const double share =
      static_cast<double>((now - look_since_).count()) / static_cast<double>(kFade.count());
  for (std::size_t i = 0; i < colours.size(); ++i) {
    colours[i] = light::between(before[i], colours[i], share);
  }
}

void Engine::limit_level() {
  for (std::size_t controller = 0; controller < clocks_.size(); ++controller) {
    if (pending_[controller] && plan_->controllers[controller].supply) limit_supply(controller);
  }
}

/// The volts are judged by the actual frame, not by the level at which all white would be inside: a
/// chase may be brighter than a white wall. One pass up and down each chain, with wires factored
/// beforehand, costs about what the sum of its currents costs. The wires are known along the pixels
/// at stations: the light of hidden chips is in the amps, not in the volts.
void Engine::limit_supply(std::size_t controller) {
  SupplyStatus& supply = supplies_[controller];
  supply.low_volts.reset();
  std::size_t count = 0;
  for (std::size_t prop = 0; prop < plan_->props.size(); ++prop) {
    const patch::PropPatch& patch = plan_->patch.props[prop];
    if (patch.controller() != controller) continue;
    const auto pixels = wanted_.prop(prop);
    const power::VoltsGuard::Verdict verdict = guards_[prop].judge(pixels);
    volts_factor_[prop] = verdict.factor;
    if (verdict.factor < 1 && (!supply.low_volts || verdict.factor < supply.low_volts->factor)) {
      supply.low_volts = {.prop = prop,
                          .pixel = base::PixelIndex::of(verdict.pixel + 1),
                          .lowest = verdict.lowest,
                          .least = guards_[prop].least(),
                          .factor = verdict.factor};
    }
    const power::PixelPower& pixel_power = plan_->props[prop]->pixel_power;
    power::PropLoad load =
        power::load_of(pixels, patch.chips(), patch.order().channels(), pixel_power);
    load.lit +=
        power::load_of(wanted_.prop(hidden_of(prop)), 0, patch.order().channels(), pixel_power).lit;
    // Constant power draws more amps where the volts are fewer.
    loads_[count++] = {load.idle * verdict.stretch, load.lit * verdict.stretch};
  }
  // The amps are those of the light as asked: what the volts hold back is not credited, so that the
  // two factors never depend on each other.
  const power::LoadLimit limit = power::limit_load({loads_.data(), count}, supply.most);
  supply.asked = limit.asked;
  supply.factor = limit.factor;
  for (std::size_t prop = 0; prop < plan_->props.size(); ++prop) {
    if (plan_->patch.props[prop].controller() != controller) continue;
    const double factor = std::min(limit.factor, volts_factor_[prop]);
    if (factor >= 1) continue;
    for (light::Colour& colour : wanted_.prop(prop)) colour = power::held_down(colour, factor);
    for (light::Colour& colour : wanted_.prop(hidden_of(prop))) {
      colour = power::held_down(colour, factor);
    }
  }
}

light::SafeFrame Engine::limit_flashes(Instant now) {
  if (mode_ != Mode::kLit) {
    for (SupplyStatus& supply : supplies_) {
      supply = {.asked = {}, .most = supply.most, .factor = 1, .low_volts = std::nullopt};
    }
    return limiter_.dark(now);
  }
  paint(now);
  limit_level();
  const light::SafeFrame safe = limiter_.pass(wanted_, now);
  if (limiter_.held()) {
    ++frames_held_;
  } else {
    pending_.assign(pending_.size(), false);
  }
  return safe;
}

std::span<const OutPacket> Engine::tick(Instant now) {
  now_ = now;
  mark_due(now);
  if (mode_ == Mode::kSilent) return {};
  ++frames_;
  const light::SafeFrame safe = limit_flashes(now);
  rows_.pack(safe, due_);
  const std::span<const OutPacket> packets = rows_.send(now, due_, mode_ == Mode::kReleasing);
  packets_ += packets.size();
  if (mode_ == Mode::kReleasing && rows_.all_silent()) mode_ = Mode::kSilent;
  return packets;
}

std::span<const OutPacket> Engine::farewell(int round) {
  if (mode_ == Mode::kSilent) return {};
  return rows_.farewell(round);
}

Status Engine::make_status() const {
  Status status;
  status.props.resize(plan_->props.size());
  status.supplies.resize(plan_->controllers.size());
  status.sent = light::Canvas{plan_->pixel_counts()};
  report(status);
  return status;
}

void Engine::report(Status& status) const {
  status.mode = mode_;
  status.look = look_ ? looks_ : 0;
  status.at = now_;
  status.frames = frames_;
  status.packets = packets_;
  status.held = limiter_.held();
  if (status.held && status.held->prop) *status.held->prop %= plan_->props.size();
  status.frames_held = frames_held_;
  status.by_hand = false;
  for (Status::Lit& lit : status.props) lit = {};
  if (mode_ == Mode::kLit) {
    for (std::size_t i = 0; i < look_->lit.size(); ++i) {
      const pattern::Beat beat = beat_of(i, now_);
      status.props[look_->lit[i].prop] = {
          .lit = true, .beat = look_->lit[i].number(beat), .into = beat.into, .waits = beat.waits};
      status.by_hand = status.by_hand || playing_[i].by_hand;
    }
  }
  std::copy(supplies_.begin(), supplies_.end(), status.supplies.begin());
  const light::SafeFrame shown = limiter_.last();
  for (std::size_t prop = 0; prop < status.sent.props(); ++prop) {
    copy_prop(shown, status.sent, prop);
  }
}

}  // namespace panewalk::engine
