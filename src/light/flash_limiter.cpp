#include "light/flash_limiter.hpp"

#include <algorithm>
#include <utility>

#include "base/check.hpp"

namespace panewalk::light {
namespace {

constexpr std::int64_t kLightWorth = kFullLight / 10;
static_assert(kLightWorth * 10 == kFullLight && kFlashChange == 0.10);
constexpr std::int64_t kRedWorth = kFullRed / 16;
static_assert(kRedWorth * 16 == kFullRed && kRedChange == 1.0 / 16.0);

template <class Pixels>
Pixels part(Pixels pixels, const Extent& extent) {
  return pixels.subspan(extent.first, extent.end - extent.first);
}

}  // namespace

FlashLimiter::Turn FlashLimiter::Edges::turn(Sample sample) const {
  const std::int64_t sum = sample.sum;
  if (rising_) {
    const bool fell =
        highest_ > sum && highest_ - sum >= sample.worth && highest_less_worth_ >= sum;
    return fell ? Turn::kFall : Turn::kNone;
  }
  const bool rose = lowest_ < sum && sum - lowest_ >= sample.worth && lowest_with_worth_ <= sum;
  return rose ? Turn::kRise : Turn::kNone;
}

bool FlashLimiter::Edges::allows(Turn turn, Instant now) const {
  const auto far_enough = [now](const std::optional<Instant>& before) {
    return !before || now - *before >= kLeastBetweenEdges;
  };
  switch (turn) {
    case Turn::kNone: return true;
    case Turn::kFall: return far_enough(last_fall_);
    case Turn::kRise:
      // The place of the sixth change is kept for a fall, since darkness may come at any time. A
      // second that begins inside a slow change shows at most one change more: seven, so three
      // flashes.
      return far_enough(last_rise_) && (!turns_.front() || now - *turns_.front() > kFlashPeriod);
  }
  return false;
}

void FlashLimiter::Edges::take(Sample sample, Instant now) {
  const Turn turned = turn(sample);
  if (turned != Turn::kNone) {
    rising_ = turned == Turn::kRise;
    (rising_ ? last_rise_ : last_fall_) = now;
    std::rotate(turns_.begin(), turns_.begin() + 1, turns_.end());
    turns_.back() = now;
    lowest_ = highest_ = sample.sum;
    lowest_with_worth_ = sample.sum + sample.worth;
    highest_less_worth_ = sample.sum - sample.worth;
    return;
  }
  lowest_ = std::min(lowest_, sample.sum);
  lowest_with_worth_ = std::min(lowest_with_worth_, sample.sum + sample.worth);
  highest_ = std::max(highest_, sample.sum);
  highest_less_worth_ = std::max(highest_less_worth_, sample.sum - sample.worth);
}

FlashLimiter::FlashLimiter(std::span<const std::size_t> pixels)
    : shown_{pixels}, sums_(pixels.size()), props_(pixels.size()), measured_(pixels.size()) {
  for (const std::size_t count : pixels) all_.push_back(Extent::whole(count));
}

FlashLimiter::Samples FlashLimiter::samples(const Sums& sums, std::int64_t pixels) {
  return {.light = {sums.light, pixels * kLightWorth}, .red = {sums.red, pixels * kRedWorth}};
}

FlashLimiter::Samples FlashLimiter::samples_of(std::size_t prop) const {
  return samples(measured_[prop], static_cast<std::int64_t>(all_[prop].end));
}

FlashLimiter::Samples FlashLimiter::samples_together() const {
  Sums sums;
  std::int64_t lit_pixels = 0;
  for (std::size_t i = 0; i < measured_.size(); ++i) {
    sums += measured_[i];
    if (measured_[i].light > 0) lit_pixels += static_cast<std::int64_t>(all_[i].end);
  }
  return samples(sums, lit_pixels);
}

void FlashLimiter::take_all(Instant now) {
  for (std::size_t i = 0; i < props_.size(); ++i) {
    if (all_[i].empty()) continue;
    const Samples prop = samples_of(i);
    props_[i].light.take(prop.light, now);
    props_[i].red.take(prop.red, now);
  }
  const Samples together = samples_together();
  together_.light.take(together.light, now);
  together_.red.take(together.red, now);
  sums_ = measured_;
}

std::optional<Held> FlashLimiter::objection(Instant now) const {
  const auto refuses = [now](const Edges& edges, Sample sample) {
    return !edges.allows(edges.turn(sample), now);
  };
  for (std::size_t i = 0; i < props_.size(); ++i) {
    if (all_[i].empty()) continue;
    const Samples prop = samples_of(i);
    if (refuses(props_[i].light, prop.light)) return Held{Held::Reason::kFlash, i, now};
    if (refuses(props_[i].red, prop.red)) return Held{Held::Reason::kRedFlash, i, now};
  }
  const Samples together = samples_together();
  if (refuses(together_.light, together.light)) {
    return Held{Held::Reason::kFlash, std::nullopt, now};
  }
  if (refuses(together_.red, together.red)) {
    return Held{Held::Reason::kRedFlash, std::nullopt, now};
  }
  return std::nullopt;
}

void FlashLimiter::measure(const Canvas& wanted, std::span<const Extent> touched) {
  PANEWALK_CHECK(wanted.props() == shown_.props() && touched.size() == shown_.props());
  for (std::size_t i = 0; i < touched.size(); ++i) {
    PANEWALK_CHECK(wanted.prop(i).size() == all_[i].end && touched[i].end <= all_[i].end);
    if (touched[i] == all_[i]) {
      measured_[i] = sum(wanted.prop(i));
      continue;
    }
    measured_[i] = sums_[i];
    if (touched[i].empty()) continue;
    measured_[i] -= sum(part(std::as_const(shown_).prop(i), touched[i]));
    measured_[i] += sum(part(wanted.prop(i), touched[i]));
  }
}

bool FlashLimiter::is_refused(Instant now) {
  std::optional<Held> refused = objection(now);
  if (refused && held_) refused->since = held_->since;
  held_ = refused;
  return held_.has_value();
}

SafeFrame FlashLimiter::pass(const Canvas& wanted, Instant now) {
  measure(wanted, all_);
  if (is_refused(now)) return last();
  shown_ = wanted;
  dark_ = false;
  take_all(now);
  return last();
}

SafeFrame FlashLimiter::pass(Canvas& wanted, std::span<const Extent> touched, Instant now) {
  if (std::ranges::all_of(touched, &Extent::empty)) {
    // The frame that is shown has been taken, and time alone makes no edge of it.
    held_.reset();
    return last();
  }
  measure(wanted, touched);
  if (is_refused(now)) return last();
  for (std::size_t i = 0; i < touched.size(); ++i) {
    if (touched[i] == all_[i]) {
      shown_.exchange(i, wanted);
    } else if (!touched[i].empty()) {
      const std::span<const Colour> fresh = part(wanted.prop(i), touched[i]);
      std::ranges::copy(fresh, part(shown_.prop(i), touched[i]).begin());
    }
  }
  dark_ = false;
  take_all(now);
  return last();
}

SafeFrame FlashLimiter::dark(Instant now) {
  held_.reset();
  if (dark_) return last();
  dark_ = true;
  for (std::size_t i = 0; i < shown_.props(); ++i) std::ranges::fill(shown_.prop(i), kBlack);
  measured_.assign(measured_.size(), Sums{});
  take_all(now);
  return last();
}

}  // namespace panewalk::light
