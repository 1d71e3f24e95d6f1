#include "light/flash_limiter.hpp"

#include <algorithm>

#include "base/check.hpp"

namespace panewalk::light {
namespace {

// Rec. 709 luminance weights (ITU-R BT.709-6, item 3.2) in ten-thousandths.
constexpr std::int64_t kRedWeight = 2126;
constexpr std::int64_t kGreenWeight = 7152;
constexpr std::int64_t kBlueWeight = 722;
constexpr std::int64_t kFullLight = (kRedWeight + kGreenWeight + kBlueWeight) * 255;
constexpr std::int64_t kLightWorth = kFullLight / 10;
static_assert(kLightWorth * 10 == kFullLight && kFlashChange == 0.10);

// Red is counted in sixteenths of a level: a flash's worth, 1/16 of full, is then whole.
constexpr std::int64_t kRedUnit = 16;
constexpr std::int64_t kFullRed = kRedUnit * 255;
constexpr std::int64_t kRedWorth = 255;
static_assert(kRedWorth * 16 == kFullRed && kRedChange == 1.0 / 16.0);

std::int64_t light_units(Colour colour) {
  return kRedWeight * colour.red + kGreenWeight * colour.green + kBlueWeight * colour.blue +
         (kFullLight / 255) * colour.white;
}

std::int64_t red_units(Colour colour) {
  const int red = colour.red + colour.white;
  const int others = colour.green + colour.blue + 2 * colour.white;
  // R / (R + rest) at least 0.8 is R at least four times the rest.
  return red >= 4 * others ? kRedUnit * (red - others) : 0;
}

}  // namespace

double luminance(Colour colour) {
  return static_cast<double>(light_units(colour)) / static_cast<double>(kFullLight);
}

double saturated_red(Colour colour) {
  return static_cast<double>(red_units(colour)) / static_cast<double>(kFullRed);
}

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
    : shown_{pixels}, props_(pixels.size()), measured_(pixels.size()) {}

void FlashLimiter::measure(const Canvas& canvas) {
  std::int64_t lit_pixels = 0;
  measured_together_ = {};
  for (std::size_t i = 0; i < measured_.size(); ++i) {
    const std::span<const Colour> colours = canvas.prop(i);
    const auto pixels = static_cast<std::int64_t>(colours.size());
    Signals& signals = measured_[i];
    signals = {{0, pixels * kLightWorth}, {0, pixels * kRedWorth}};
    bool lit = false;
    for (const Colour colour : colours) {
      signals.light.sum += light_units(colour);
      signals.red.sum += red_units(colour);
      lit = lit || !colour.dark();
    }
    measured_together_.light.sum += signals.light.sum;
    measured_together_.red.sum += signals.red.sum;
    if (lit) lit_pixels += pixels;
  }
  measured_together_.light.worth = lit_pixels * kLightWorth;
  measured_together_.red.worth = lit_pixels * kRedWorth;
}

void FlashLimiter::take_all(Instant now) {
  for (std::size_t i = 0; i < props_.size(); ++i) {
    props_[i].light.take(measured_[i].light, now);
    props_[i].red.take(measured_[i].red, now);
  }
  together_.light.take(measured_together_.light, now);
  together_.red.take(measured_together_.red, now);
}

std::optional<Held> FlashLimiter::objection(Instant now) const {
  const auto refuses = [now](const Edges& edges, Sample sample) {
    return !edges.allows(edges.turn(sample), now);
  };
  for (std::size_t i = 0; i < props_.size(); ++i) {
    if (refuses(props_[i].light, measured_[i].light)) return Held{Held::Reason::kFlash, i, now};
    if (refuses(props_[i].red, measured_[i].red)) return Held{Held::Reason::kRedFlash, i, now};
  }
  if (refuses(together_.light, measured_together_.light)) {
    return Held{Held::Reason::kFlash, std::nullopt, now};
  }
  if (refuses(together_.red, measured_together_.red)) {
    return Held{Held::Reason::kRedFlash, std::nullopt, now};
  }
  return std::nullopt;
}

SafeFrame FlashLimiter::pass(const Canvas& wanted, Instant now) {
  PANEWALK_CHECK(wanted.props() == shown_.props());
  measure(wanted);
  std::optional<Held> refused = objection(now);
  if (refused && held_) refused->since = held_->since;
  held_ = refused;
  if (held_) return last();
  for (std::size_t i = 0; i < shown_.props(); ++i) {
    PANEWALK_CHECK(wanted.prop(i).size() == shown_.prop(i).size());
    std::ranges::copy(wanted.prop(i), shown_.prop(i).begin());
  }
  take_all(now);
  return last();
}

SafeFrame FlashLimiter::dark(Instant now) {
  for (std::size_t i = 0; i < shown_.props(); ++i) std::ranges::fill(shown_.prop(i), kBlack);
  measure(shown_);
  take_all(now);
  held_.reset();
  return last();
}

}  // namespace panewalk::light
