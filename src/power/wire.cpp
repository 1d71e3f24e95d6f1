#include "power/wire.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace panewalk::power {
namespace {

constexpr double kPi = 3.14159265358979323846;
constexpr double kCopper = 0.017241;          // ohm mm² / m at 20 °C
constexpr double kCopperPerDegree = 0.00393;  // from 20 °C

constexpr std::array kBlades{2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0};  // A

struct Protection {
  int gauge;
  double amps;
};
constexpr std::array kProtection{Protection{12, 20}, Protection{14, 15}, Protection{16, 10},
                                 Protection{18, 5},  Protection{20, 3},  Protection{22, 2}};
constexpr double kReserve = 1.25;

// IEC 60228, nominal sizes.
constexpr std::array kSizes{0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0};
constexpr int kThickestGauge = 8;
constexpr int kThinnestGauge = 22;

// Areas that were computed are compared with a hair of slack.
bool at_least(double area, double least) { return area >= least * (1 - 1e-9); }

}  // namespace

double square_millimetres(const Wire& wire) {
  if (const auto* size = std::get_if<Wire::SquareMillimetres>(&wire.size)) return size->area;
  const int gauge = std::get<Wire::Awg>(wire.size).gauge;
  const double diameter = 0.127 * std::pow(92.0, (36.0 - gauge) / 39.0);
  return kPi * diameter * diameter / 4;
}

double ohms_per_metre(const Wire& wire, Celsius temperature) {
  return kCopper / square_millimetres(wire) *
         (1 + kCopperPerDegree * (temperature - Celsius::of(20)).value());
}

Ohms loop_ohms(const Wire& wire, Millimetres one_way, Celsius temperature) {
  return Ohms::of(2 * ohms_per_metre(wire, temperature) * one_way.value() / 1000);
}

std::optional<Wire> thicker(const Wire& wire) {
  if (const auto* awg = std::get_if<Wire::Awg>(&wire.size)) {
    const int next = awg->gauge - (awg->gauge % 2 == 0 ? 2 : 1);
    if (next < kThickestGauge) return std::nullopt;
    return Wire{Wire::Awg{next}};
  }
  const double area = square_millimetres(wire);
  const auto* next = std::upper_bound(kSizes.begin(), kSizes.end(), area);
  if (next == kSizes.end()) return std::nullopt;
  return Wire{Wire::SquareMillimetres{*next}};
}

std::optional<Wire> thinner(const Wire& wire) {
  if (const auto* awg = std::get_if<Wire::Awg>(&wire.size)) {
    const int next = awg->gauge + (awg->gauge % 2 == 0 ? 2 : 1);
    if (next > kThinnestGauge) return std::nullopt;
    return Wire{Wire::Awg{next}};
  }
  const double area = square_millimetres(wire);
  const auto* after = std::lower_bound(kSizes.begin(), kSizes.end(), area);
  if (after == kSizes.begin()) return std::nullopt;
  return Wire{Wire::SquareMillimetres{*(after - 1)}};
}

std::optional<Amps> most_fuse(const Wire& wire) {
  const double area = square_millimetres(wire);
  for (const Protection& row : kProtection) {
    if (at_least(area, square_millimetres({Wire::Awg{row.gauge}}))) return Amps::of(row.amps);
  }
  return std::nullopt;
}

Fuse fuse_for(const Wire& wire, Amps running) {
  const auto most = most_fuse(wire);
  if (!most) return {.amps = std::nullopt, .holds = false};
  const double needed = kReserve * running.value();
  const auto* blade = std::lower_bound(kBlades.begin(), kBlades.end(), needed);
  if (blade == kBlades.end() || *blade > most->value()) return {.amps = most, .holds = false};
  return {.amps = Amps::of(*blade), .holds = true};
}

}  // namespace panewalk::power
