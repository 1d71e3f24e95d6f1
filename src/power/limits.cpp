#include "power/limits.hpp"

#include <algorithm>

#include "base/check.hpp"

namespace panewalk::power {
namespace {

constexpr int kHalvings = 40;
/// A hair for rounding: a supply is used to its last amp.
constexpr double kHair = 1e-9;

LevelLimit::Why why_not(std::span<const Consumer> on_supply, std::size_t of, Volts source,
                        std::optional<Amps> supply, double level) {
  using Why = LevelLimit::Why;
  const auto at = light::Level::of(level);
  const Consumer& own = on_supply[of];
  const auto settled = solve_white(*own.network, *own.pixel, source, at);
  if (!settled) return Why::kVolts;
  const Volts least = least_volts(*own.pixel, source);
  if (settled->lowest_volts() < least - Volts::of(kHair)) return Why::kVolts;
  if (!supply) return Why::kNothing;
  Amps total = settled->total;
  for (std::size_t i = 0; i < on_supply.size(); ++i) {
    if (i == of) continue;
    const auto other = solve_white(*on_supply[i].network, *on_supply[i].pixel, source, at);
    if (!other) return Why::kAmps;  // it takes all that there is
    total += other->total;
  }
  return total > *supply + Amps::of(kHair) ? Why::kAmps : Why::kNothing;
}

}  // namespace

LevelLimit level_limit(std::span<const Consumer> on_supply, std::size_t of, Volts source,
                       std::optional<Amps> supply) {
  using Why = LevelLimit::Why;
  Why why = why_not(on_supply, of, source, supply, 1);
  if (why == Why::kNothing) return {light::Level::of(1), why};
  if (why_not(on_supply, of, source, supply, 0) != Why::kNothing) {
    return {light::Level::of(0), Why::kBlack};
  }
  double good = 0;
  double bad = 1;
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = (good + bad) / 2;
    const Why here = why_not(on_supply, of, source, supply, middle);
    if (here == Why::kNothing) {
      good = middle;
    } else {
      bad = middle;
      why = here;
    }
  }
  return {light::Level::of(good), why};
}

VoltsGuard::VoltsGuard(const Network& network, const PixelPower& pixel, Volts source,
                       std::size_t channels)
    : factored_{network.ladder},
      source_{source},
      volts_{pixel.volts},
      least_{least_volts(pixel, source)},
      constant_power_{pixel.draws == Draws::kConstantPower},
      channels_{channels},
      lit_drop_(network.pixels()) {
  const double stretch = constant_power_ ? volts_ / least_ : 1;
  added_ = stretch * std::max(pixel.full_white - pixel.idle, Amps::of(0)).value();
  for (const int extra : network.extra_chips) {
    idle_drop_.push_back(stretch * pixel.idle.value() * (1 + extra));
  }
  factored_.solve(idle_drop_);
}

VoltsGuard::Verdict VoltsGuard::judge(std::span<const light::Colour> pixels) {
  Verdict verdict;
  if (idle_drop_.empty()) return verdict;
  PANEWALK_CHECK(pixels.size() == lit_drop_.size());
  for (std::size_t i = 0; i < pixels.size(); ++i) {
    lit_drop_[i] = added_ * share_of(pixels[i], channels_);
  }
  factored_.solve(lit_drop_);
  const double room = (source_ - least_).value() + kHair;
  double most = -1;
  for (std::size_t i = 0; i < lit_drop_.size(); ++i) {
    const double left = room - idle_drop_[i];
    if (lit_drop_[i] > left) {
      verdict.factor = left > 0 ? std::min(verdict.factor, left / lit_drop_[i]) : 0;
    }
    if (lit_drop_[i] + idle_drop_[i] > most) {
      most = lit_drop_[i] + idle_drop_[i];
      verdict.pixel = i;
    }
  }
  verdict.lowest = source_ - Volts::of(most);
  if (constant_power_) {
    double deepest = 0;
    for (std::size_t i = 0; i < lit_drop_.size(); ++i) {
      deepest = std::max(deepest, idle_drop_[i] + verdict.factor * lit_drop_[i]);
    }
    verdict.stretch = volts_ / std::max(source_ - Volts::of(deepest), least_);
  }
  return verdict;
}

}  // namespace panewalk::power
