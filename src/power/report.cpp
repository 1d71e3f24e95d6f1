#include "power/report.hpp"

#include <algorithm>
#include <array>

#include "power/study.hpp"

namespace panewalk::power {
namespace {

using base::PixelIndex;

constexpr double kWarningShare = 0.95;

const Wire& thinner_of(const Wire& a, const Wire& b) {
  return square_millimetres(a) < square_millimetres(b) ? a : b;
}

std::optional<PixelIndex> first_below(const Solution& solution, Volts volts) {
  const auto found = std::find_if(solution.volts.begin(), solution.volts.end(),
                                  [volts](Volts here) { return here < volts; });
  if (found == solution.volts.end()) return std::nullopt;
  return PixelIndex::of(static_cast<std::size_t>(found - solution.volts.begin()) + 1);
}

ClassTwo class_two(Volts source, Amps supply) {
  constexpr Volts kLow = Volts::of(20);
  constexpr Volts kHigh = Volts::of(30);
  Amps most = Amps::of(0);
  if (source <= kLow) most = Amps::of(5);
  if (source > kLow && source <= kHigh) most = Amps::of(100 / source.value());
  return {.most = most, .within = supply <= most};
}

LevelLimit limit_of(const Study& study, const Network& network) {
  std::vector<Consumer> all{{&network, &study.pixel}};
  all.insert(all.end(), study.others.begin(), study.others.end());
  return level_limit(all, 0, study.source, study.supply);
}

}  // namespace

std::optional<Volts> warm_below(const PixelPower& pixel) {
  struct Class {
    double up_to, warm;
  };
  constexpr std::array kClasses{Class{8, 3.9}, Class{18, 10.1}, Class{30, 20.0}};
  constexpr double kOfOthers = 0.84;
  if (pixel.least_volts) return pixel.least_volts;
  if (pixel.draws == Draws::kConstantPower) return std::nullopt;
  for (const Class& row : kClasses) {
    if (pixel.volts < Volts::of(row.up_to)) return Volts::of(row.warm);
  }
  return pixel.volts * kOfOthers;
}

std::vector<LegFuse> fuses_of(const Network& network, const Solution& full, const Wire& of_prop) {
  std::vector<LegFuse> fuses;
  std::size_t behind_lead = 0;
  for (const Leg& leg : network.legs) {
    if (leg.kind != Feed::Kind::kInjection) ++behind_lead;
  }
  // A lead that splits has a fuse of its own; one that goes on as the only leg is that leg.
  const bool splits = network.lead && behind_lead > 1;
  std::optional<Amps> lead_fuse;
  if (splits) {
    const Fuse fuse = fuse_for(network.lead->wire, full.lead);
    lead_fuse = fuse.amps;
    fuses.push_back({.leg = "lead",
                     .wire = network.lead->wire,
                     .running = full.lead,
                     .fuse = fuse,
                     .covered = false});
  }
  for (std::size_t i = 0; i < network.legs.size(); ++i) {
    const Leg& leg = network.legs[i];
    const bool through_lead = network.lead && leg.kind != Feed::Kind::kInjection;
    Wire wire = thinner_of(leg.wire, of_prop);
    if (through_lead && !splits) wire = thinner_of(network.lead->wire, wire);
    const auto most = most_fuse(wire);
    fuses.push_back({.leg = leg.at,
                     .wire = wire,
                     .running = full.legs[i],
                     .fuse = fuse_for(wire, full.legs[i]),
                     .covered = through_lead && lead_fuse && most && *lead_fuse <= *most});
  }
  return fuses;
}

base::Result<Report> report(const Study& study) {
  auto built = build(*study.frame, *study.map, study.power, study.nulls);
  if (!built) return std::move(built).error();
  Report report;
  report.network = std::move(built).value();
  report.full = solve_white(report.network, study.pixel, study.source, light::Level::of(1));
  report.least = least_volts(study.pixel, study.source);
  report.warning = study.source * kWarningShare;
  report.warm_below = warm_below(study.pixel);
  report.limit = limit_of(study, report.network);
  if (report.full) {
    if (report.warm_below) report.warm_from = first_below(*report.full, *report.warm_below);
    report.fuses = fuses_of(report.network, *report.full, study.power.wire);
    report.compare = compare(study, *report.full);
  }
  report.alternatives = alternatives(study, report.network, report.full);
  report.wires = wire_choices(study, std::max(report.warning, report.least));
  const auto enough = std::find_if(
      report.wires.begin(), report.wires.end(),
      [](const WireChoice& choice) { return choice.keeps_volts && choice.fuses_hold; });
  if (enough != report.wires.end()) report.enough = enough->wire;
  if (study.supply) report.class_two = class_two(study.source, *study.supply);
  return report;
}

}  // namespace panewalk::power
