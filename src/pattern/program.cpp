#include "pattern/program.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/check.hpp"

namespace panewalk::pattern {

const Program::Act& Program::act_of(const Beat& beat) const {
  const auto found = std::find_if(acts_.begin(), acts_.end(),
                                  [&beat](const Act& act) { return act.step == beat.step; });
  PANEWALK_CHECK(found != acts_.end() && beat.member < found->beats);
  return *found;
}

const Program::Member& Program::member_of(const Act& act, const Beat& beat) const {
  return members_[act.first_member + (act.kind == Kind::kStill ? beat.member : 0)];
}

Beat Program::beat(std::size_t number) const {
  const std::size_t wanted = number % beats_;
  const auto after =
      std::upper_bound(acts_.begin(), acts_.end(), wanted,
                       [](std::size_t value, const Act& act) { return value < act.first_beat; });
  const Act& act = *std::prev(after);
  return {.step = act.step, .member = wanted - act.first_beat, .into = {}, .waits = act.waits};
}

std::size_t Program::number(const Beat& beat) const {
  return act_of(beat).first_beat + beat.member;
}

base::Duration Program::start(std::size_t number) const {
  const Beat wanted = beat(number);
  const Act& act = act_of(wanted);
  return round_ * static_cast<base::Duration::rep>(number / beats_) + act.begins +
         act.each * static_cast<base::Duration::rep>(wanted.member);
}

Beat Program::at(base::Duration since, std::size_t from) const {
  const std::size_t first = from % beats_;
  const base::Duration passed = std::max(since, base::Duration{0});
  const base::Duration begin = start(first);
  // The next beat that waits, this one included: only the first of an act, or the one at hand.
  std::optional<std::size_t> stop;
  for (const Act& act : acts_) {
    if (!act.waits || act.first_beat + act.beats <= first) continue;
    stop = std::max(act.first_beat, first);
    break;
  }
  if (!stop) {
    const auto waiting =
        std::find_if(acts_.begin(), acts_.end(), [](const Act& act) { return act.waits; });
    if (waiting != acts_.end()) stop = waiting->first_beat + beats_;
  }
  if (stop && start(*stop) - begin <= passed) {
    Beat waiting = beat(*stop);
    waiting.into = passed - (start(*stop) - begin);
    return waiting;
  }
  const base::Duration time = (begin + passed) % round_;
  const auto after =
      std::upper_bound(acts_.begin(), acts_.end(), time,
                       [](base::Duration value, const Act& act) { return value < act.begins; });
  const Act& act = *std::prev(after);
  const base::Duration into = time - act.begins;
  return {.step = act.step,
          .member = static_cast<std::size_t>(into / act.each),
          .into = into % act.each,
          .waits = act.waits};
}

std::string Program::caption(const Beat& beat) const {
  const Act& act = act_of(beat);
  const Member& member = member_of(act, beat);
  if (act.kind != Kind::kMove) return member.caption;
  return member.caption + "pixel " + std::to_string(lit_[member.first + beat.member].at + 1);
}

void Program::paint(const Beat& beat, std::span<light::Colour> pixels) const {
  PANEWALK_CHECK(pixels.size() >= pixels_);
  std::fill(pixels.begin(), pixels.end(), light::kBlack);
  const Act& act = act_of(beat);
  const Member& member = member_of(act, beat);
  if (act.kind == Kind::kMove) {
    paint_move(act, beat.member, pixels);
    return;
  }
  if (act.kind == Kind::kStill) {
    for (std::size_t i = member.first; i < member.end; ++i) pixels[lit_[i].at] = lit_[i].colour;
    return;
  }
  // A raised cosine: dark at the start of each period, full in its middle.
  const double turn = static_cast<double>((beat.into % act.period).count()) /
                      static_cast<double>(act.period.count());
  const auto share = light::Level::of((1 - std::cos(2 * std::numbers::pi * turn)) / 2);
  for (std::size_t i = member.first; i < member.end; ++i) {
    pixels[lit_[i].at] = light::dimmed(lit_[i].colour, share);
  }
}

void Program::paint_move(const Act& act, std::size_t head, std::span<light::Colour> pixels) const {
  const std::size_t first = members_[act.first_member].first;
  const auto tail = std::min(head, static_cast<std::size_t>(act.tail));
  for (std::size_t behind = 0; behind <= tail; ++behind) {
    const Lit& lit = lit_[first + head - behind];
    // Squared, since the eye hardly tells three quarters of the light from all of it.
    const double share = 1 - static_cast<double>(behind) / (act.tail + 1);
    pixels[lit.at] = light::dimmed(lit.colour, light::Level::of(share * share));
  }
}

}  // namespace panewalk::pattern
