#include "power/solution.hpp"

#include <algorithm>
#include <cmath>

#include "base/check.hpp"

namespace panewalk::power {
namespace {

constexpr double kLeastShare = 0.9;
constexpr int kMostSteps = 100;
constexpr double kSettled = 1e-13;  // of the supply's volts

std::vector<double> nominal_amps(const Network& network, const PixelPower& pixel,
                                 std::span<const double> shares) {
  const Amps added = std::max(pixel.full_white - pixel.idle, Amps::of(0));
  std::vector<double> amps;
  for (std::size_t i = 0; i < shares.size(); ++i) {
    amps.push_back((pixel.idle * (1.0 + network.extra_chips[i]) + added * shares[i]).value());
  }
  return amps;
}

/// The drops under constant power, which is `nominal` amps at `volts`.
std::optional<std::vector<double>> settle(Factored& factored, const std::vector<double>& nominal,
                                          double volts, double source) {
  std::vector<double> drops(nominal.size());
  std::vector<double> slope(nominal.size());
  std::vector<double> next(nominal.size());
  for (int step = 0; step < kMostSteps; ++step) {
    for (std::size_t i = 0; i < drops.size(); ++i) {
      const double left = source - drops[i];
      if (!(left > 0)) return std::nullopt;
      const double amps = nominal[i] * volts / left;
      slope[i] = amps / left;
      next[i] = amps - slope[i] * drops[i];
    }
    if (!factored.refactor(slope)) return std::nullopt;
    factored.solve(next);
    double change = 0;
    for (std::size_t i = 0; i < drops.size(); ++i) {
      change = std::max(change, std::abs(next[i] - drops[i]));
    }
    drops.swap(next);
    if (change <= kSettled * source) return drops;
  }
  return std::nullopt;
}

Amps through(double drop, Ohms ohms) { return Amps::of(drop * siemens(ohms)); }

double heat(double drop, Ohms ohms) { return drop * drop * siemens(ohms); }

/// Currents and losses of the wires.
void trace(const Network& network, const std::vector<double>& drops, Solution& solution) {
  const Ladder& ladder = network.ladder;
  double lost = 0;
  for (std::size_t i = 0; i < ladder.links.size(); ++i) {
    lost += heat(drops[i + 1] - drops[i], ladder.links[i]);
  }
  for (const Ladder::Tap& tap : ladder.taps) {
    lost += heat(drops[tap.node], tap.ohms);
    solution.total += through(drops[tap.node], tap.ohms);
  }
  std::size_t tap = 0;
  Amps braced;
  if (ladder.brace && drops.size() > 1) {
    lost += heat(drops.back() - drops.front(), *ladder.brace);
    braced = through(drops.back() - drops.front(), *ladder.brace);
  }
  for (const Leg& leg : network.legs) {
    if (leg.kind == Feed::Kind::kTieBack && ladder.brace) {
      solution.legs.push_back(braced);
      continue;
    }
    const Ladder::Tap& own = ladder.taps[tap++];
    Amps amps = through(drops[own.node], own.ohms);
    if (leg.kind != Feed::Kind::kInjection && network.lead) solution.lead += amps;
    if (leg.kind == Feed::Kind::kLeadIn) amps = amps - braced;
    solution.legs.push_back(amps);
  }
  solution.wire = Watts::of(lost);
}

}  // namespace

double share_of(light::Colour colour, std::size_t channels) {
  int levels = colour.red + colour.green + colour.blue;
  if (channels == 4) levels += colour.white;
  return levels / (255.0 * static_cast<double>(channels));
}

Volts least_volts(const PixelPower& pixel, Volts source) {
  return pixel.least_volts.value_or(source * kLeastShare);
}

std::optional<Solution> solve(const Network& network, const PixelPower& pixel, Volts source,
                              std::span<const double> shares) {
  PANEWALK_CHECK(network.pixels() > 0 && shares.size() == network.pixels());
  Factored factored{network.ladder};
  const bool constant_power = pixel.draws == Draws::kConstantPower;
  const std::vector<double> nominal = nominal_amps(network, pixel, shares);
  std::vector<double> drops = nominal;
  if (constant_power) {
    auto settled = settle(factored, nominal, pixel.volts.value(), source.value());
    if (!settled) return std::nullopt;
    drops = std::move(*settled);
  } else {
    factored.solve(drops);
  }
  Solution solution;
  double taken = 0;
  for (std::size_t i = 0; i < drops.size(); ++i) {
    const Volts volts = source - Volts::of(drops[i]);
    const double stretch = constant_power ? pixel.volts / volts : 1;
    const Amps extra = pixel.idle * network.extra_chips[i];
    solution.volts.push_back(volts);
    solution.amps.push_back((Amps::of(nominal[i]) - extra) * stretch);
    taken += volts.value() * nominal[i] * stretch;
  }
  solution.lowest = static_cast<std::size_t>(
      std::min_element(solution.volts.begin(), solution.volts.end()) - solution.volts.begin());
  solution.chips = Watts::of(taken);
  trace(network, drops, solution);
  solution.given = Watts::of(source.value() * solution.total.value());
  return solution;
}

std::optional<Solution> solve_white(const Network& network, const PixelPower& pixel, Volts source,
                                    light::Level level) {
  const std::vector<double> shares(network.pixels(), level.share());
  return solve(network, pixel, source, shares);
}

}  // namespace panewalk::power
