#include "pattern/program.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
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
  return member.caption + "pixel " + std::to_string(way_[member.first + beat.member].at + 1);
}

void Program::paint(const Beat& beat, std::span<light::Colour> pixels, light::Level level) const {
  PANEWALK_CHECK(pixels.size() >= pixels_);
  light::fill(pixels, light::kBlack);
  draw(act_of(beat), beat, pixels, level);
}

light::Extent Program::difference(const Beat& one, const Beat& other) const {
  const Act& act = act_of(other);
  if (lights_the_same(one, other) && act.kind != Kind::kPulse) return {};
  light::Extent either = extent(act, other);
  either.include(extent(act_of(one), one));
  return either;
}

void Program::repaint(const Beat& before, const Beat& beat, std::span<light::Colour> pixels,
                      light::Level level) const {
  PANEWALK_CHECK(pixels.size() >= pixels_);
  const Act& act = act_of(beat);
  const bool same = lights_the_same(before, beat);
  if (same && act.kind != Kind::kPulse) return;
  if (!same) {
    const light::Extent gone = extent(act_of(before), before);
    light::fill(pixels.subspan(gone.first, gone.end - gone.first), light::kBlack);
  }
  draw(act, beat, pixels, level);
}

void Program::keep_within(const std::vector<bool>& inside) {
  const auto outside = [&inside](std::size_t pixel) {
    return pixel >= inside.size() || !inside[pixel];
  };
  for (Lit& lit : way_) {
    if (outside(lit.at)) lit.colour = light::kBlack;
  }
  std::vector<Stretch> all;
  all.swap(stretches_);
  for (Member& member : members_) {
    // A move's member points into way_, and no stretch is its own.
    const std::size_t first = stretches_.size();
    for (std::size_t i = member.first; i < member.end && !member.pixels.empty(); ++i) {
      for (std::size_t pixel = all[i].first; pixel < all[i].end(); ++pixel) {
        if (outside(pixel) || lengthen(first, pixel, all[i].colour)) continue;
        stretches_.push_back(
            {.first = static_cast<std::uint32_t>(pixel), .count = 1, .colour = all[i].colour});
      }
    }
    if (!member.pixels.empty()) {
      member.first = first;
      member.end = stretches_.size();
    }
  }
}

std::span<const Program::Lit> Program::tail_of(const Act& act, const Beat& beat) const {
  const auto tail = std::min(beat.member, static_cast<std::size_t>(act.tail));
  return std::span{way_}.subspan(members_[act.first_member].first + beat.member - tail, tail + 1);
}

light::Extent Program::extent(const Act& act, const Beat& beat) const {
  if (act.kind != Kind::kMove) return member_of(act, beat).pixels;
  light::Extent extent;
  for (const Lit& lit : tail_of(act, beat)) extent.include({lit.at, lit.at + 1});
  return extent;
}

void Program::draw(const Act& act, const Beat& beat, std::span<light::Colour> pixels,
                   light::Level level) const {
  if (act.kind == Kind::kMove) {
    draw_move(act, beat, pixels, level);
    return;
  }
  auto share = light::Level::of(1);
  if (act.kind == Kind::kPulse) {
    // A raised cosine: dark at the start of each period, full in its middle.
    const double turn = static_cast<double>((beat.into % act.period).count()) /
                        static_cast<double>(act.period.count());
    share = light::Level::of((1 - std::cos(2 * std::numbers::pi * turn)) / 2);
  }
  draw_stretches(member_of(act, beat), share, pixels, level);
}

void Program::draw_stretches(const Member& member, light::Level share,
                             std::span<light::Colour> pixels, light::Level level) const {
  const auto shown = [share, level](light::Colour colour) {
    return light::dimmed(light::dimmed(colour, share), level);
  };
  // Each colour is dimmed once, not once a pixel; a palette that is larger belongs to a still
  // picture, which is drawn once.
  constexpr std::size_t kMost = 256;
  std::array<light::Colour, kMost> ready;  // NOLINT: written before it is read
  const bool fits = palette_.size() <= kMost;
  if (fits) std::transform(palette_.begin(), palette_.end(), ready.begin(), shown);
  for (const Stretch& each :
       std::span{stretches_}.subspan(member.first, member.end - member.first)) {
    const light::Colour colour = fits ? ready[each.colour] : shown(palette_[each.colour]);
    if (each.count == 1) {
      pixels[each.first] = colour;
    } else {
      light::fill(pixels.subspan(each.first, each.count), colour);
    }
  }
}

bool Program::lengthen(std::size_t first, std::size_t pixel, std::uint16_t colour) {
  if (stretches_.size() <= first) return false;
  Stretch& last = stretches_.back();
  if (last.end() != pixel || last.colour != colour) return false;
  PANEWALK_CHECK(last.count < std::numeric_limits<std::uint16_t>::max());
  ++last.count;
  return true;
}

std::uint16_t Program::in_palette(light::Colour colour) {
  const auto known = std::find(palette_.rbegin(), palette_.rend(), colour);
  if (known != palette_.rend()) {
    return static_cast<std::uint16_t>(palette_.rend() - known - 1);
  }
  PANEWALK_CHECK(palette_.size() < std::numeric_limits<std::uint16_t>::max());
  palette_.push_back(colour);
  return static_cast<std::uint16_t>(palette_.size() - 1);
}

void Program::draw_move(const Act& act, const Beat& beat, std::span<light::Colour> pixels,
                        light::Level level) const {
  const std::span<const Lit> tail = tail_of(act, beat);
  // The head last: a way may cross itself.
  for (std::size_t i = 0; i < tail.size(); ++i) {
    // Squared, since the eye hardly tells three quarters of the light from all of it.
    const double share = 1 - static_cast<double>(tail.size() - 1 - i) / (act.tail + 1);
    const light::Colour shown = light::dimmed(tail[i].colour, light::Level::of(share * share));
    pixels[tail[i].at] = light::dimmed(shown, level);
  }
}

}  // namespace panewalk::pattern
