#include "engine/engine.hpp"

#include <algorithm>

#include "power/load.hpp"

namespace panewalk::engine {
namespace {

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
  pictures_.resize(pixels.size());
  shown_pictures_.resize(pixels.size());
  versions_.resize(pixels.size(), 1);
  touched_.resize(stretches.size());
  unpacked_.resize(stretches.size());
  loads_.resize(pixels.size());
  asked_.resize(pixels.size());
  verdicts_.resize(pixels.size());
  props_of_.resize(plan_->controllers.size());
  for (std::size_t prop = 0; prop < pixels.size(); ++prop) {
    props_of_[plan_->patch.props[prop].controller()].push_back(prop);
  }
  supplies_.resize(plan_->controllers.size());
  clocks_.resize(plan_->controllers.size());
  due_.resize(plan_->controllers.size());
  pending_.resize(plan_->controllers.size());
  for (std::size_t i = 0; i < clocks_.size(); ++i) {
    clocks_[i].period = Duration{std::chrono::seconds{1}} / plan_->controllers[i].frames_per_second;
    if (plan_->controllers[i].supply) supplies_[i].most = plan_->controllers[i].supply->amps;
  }
  guards_.resize(pixels.size());
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
  // Nobody waits for the grid of a stream that was silent.
  if (mode_ == Mode::kSilent) start(now);
  look_.swap(look);
  ++looks_;
  look_since_ = now;
  const light::SafeFrame shown = limiter_.last();
  for (std::size_t prop = 0; prop < shown.props(); ++prop) copy_prop(shown, fade_from_, prop);
  for (Playing& playing : playing_) playing = {.since = now};
  forget_pictures();
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

void Engine::limit_level() {
  for (std::size_t controller = 0; controller < clocks_.size(); ++controller) {
    if (pending_[controller] && plan_->controllers[controller].supply) limit_supply(controller);
  }
}

/// The volts are judged by the actual frame, not by the level at which all white would be inside: a
/// chase may be brighter than a white wall. One pass up and down each chain, with wires factored
/// beforehand, costs about what the sum of its currents costs. The wires are known along the pixels
/// at stations: the light of hidden chips is in the amps, not in the volts.
void Engine::judge(std::size_t prop) {
  const patch::PropPatch& patch = plan_->patch.props[prop];
  const power::PixelPower& pixel_power = plan_->props[prop]->pixel_power;
  const std::size_t channels = patch.order().channels();
  const auto pixels = wanted_.prop(prop);
  verdicts_[prop] = guards_[prop].judge(pixels);
  power::PropLoad load = power::load_of(pixels, patch.chips(), channels, pixel_power);
  load.lit += power::load_of(wanted_.prop(hidden_of(prop)), 0, channels, pixel_power).lit;
  // Constant power draws more amps where the volts are fewer.
  const double stretch = verdicts_[prop].stretch;
  loads_[prop] = {load.idle * stretch, load.lit * stretch};
}

void Engine::limit_supply(std::size_t controller) {
  const std::vector<std::size_t>& props = props_of_[controller];
  const bool changes = std::any_of(props.begin(), props.end(),
                                   [this](std::size_t prop) { return is_touched(prop); });
  if (!changes) return;
  SupplyStatus& supply = supplies_[controller];
  supply.low_volts.reset();
  for (std::size_t i = 0; i < props.size(); ++i) {
    const std::size_t prop = props[i];
    if (is_touched(prop)) judge(prop);
    const power::VoltsGuard::Verdict& verdict = verdicts_[prop];
    if (verdict.factor < 1 && (!supply.low_volts || verdict.factor < supply.low_volts->factor)) {
      supply.low_volts = {.prop = prop,
                          .pixel = base::PixelIndex::of(verdict.pixel + 1),
                          .lowest = verdict.lowest,
                          .least = guards_[prop].least(),
                          .factor = verdict.factor};
    }
    asked_[i] = loads_[prop];
  }
  // The amps are those of the light as asked: what the volts hold back is not credited, so that the
  // two factors never depend on each other.
  const power::LoadLimit limit = power::limit_load({asked_.data(), props.size()}, supply.most);
  supply.asked = limit.asked;
  supply.factor = limit.factor;
  for (const std::size_t prop : props) dim(prop, std::min(limit.factor, verdicts_[prop].factor));
}

void Engine::dim(std::size_t prop, double factor) {
  if (factor >= 1) return;
  for (const std::size_t stretch : {prop, hidden_of(prop)}) {
    for (light::Colour& colour : wanted_.prop(stretch)) colour = power::held_down(colour, factor);
  }
  touch_all(prop);
  pictures_[prop] = {};  // it must be painted anew before it is judged again
}

light::SafeFrame Engine::limit_flashes(Instant now) {
  if (mode_ != Mode::kLit) {
    for (SupplyStatus& supply : supplies_) {
      supply = {.asked = {}, .most = supply.most, .factor = 1, .low_volts = std::nullopt};
    }
    go_dark(now);
    return limiter_.last();
  }
  paint(now);
  limit_level();
  const light::SafeFrame safe = limiter_.pass(wanted_, touched_, now);
  if (limiter_.held()) {
    ++frames_held_;
  } else {
    pending_.assign(pending_.size(), false);
    pass_on();
  }
  return safe;
}

void Engine::go_dark(Instant now) {
  if (!limiter_.is_dark()) {
    for (std::size_t i = 0; i < unpacked_.size(); ++i) {
      unpacked_[i] = light::Extent::whole(wanted_.prop(i).size());
      touched_[i] = {};
    }
    for (std::uint64_t& version : versions_) ++version;
    forget_pictures();
  }
  limiter_.dark(now);
}

std::span<const OutPacket> Engine::tick(Instant now) {
  now_ = now;
  mark_due(now);
  if (mode_ == Mode::kSilent) {
    rows_.send_nothing();
    return {};
  }
  ++frames_;
  const light::SafeFrame safe = limit_flashes(now);
  rows_.pack(safe, due_, unpacked_);
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
  status.sent_versions.resize(plan_->props.size());
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
    if (status.sent_versions[prop] == versions_[prop]) continue;
    copy_prop(shown, status.sent, prop);
    status.sent_versions[prop] = versions_[prop];
  }
}

}  // namespace panewalk::engine
