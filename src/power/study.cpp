#include "power/study.hpp"

#include <algorithm>
#include <array>

namespace panewalk::power {
namespace {

using base::PixelIndex;

/// The prop with another power section, at full white. What was built once with other feeds builds
/// again, so a problem can't be; then it counts as a collapse.
struct Trial {
  std::optional<Network> network;
  std::optional<Solution> settles;
};

Trial tried(const Study& study, const PowerDescription& power) {
  auto network = build(*study.frame, *study.map, power, study.nulls);
  if (!network) return {};
  Trial trial{.network = std::move(network).value(), .settles = {}};
  trial.settles = solve_white(*trial.network, study.pixel, study.source, light::Level::of(1));
  return trial;
}

bool has(const PowerDescription& power, Feed::Kind kind) {
  return std::any_of(power.feeds.begin(), power.feeds.end(),
                     [kind](const Feed& feed) { return feed.kind == kind; });
}

Alternative one_more_injection(const Study& study, PixelIndex pixel) {
  Alternative more{.kind = Alternative::Kind::kInjection,
                   .pixel = pixel,
                   .wire = study.power.wire,
                   .length = {},
                   .settles = {}};
  more.length = way_between(*study.frame, *study.map, PixelIndex::of(1), pixel);
  if (study.power.lead) more.length += study.power.lead->length;
  PowerDescription power = study.power;
  power.feeds.push_back({.kind = Feed::Kind::kInjection,
                         .at = (*study.frame)[study.map->station_of(pixel)].name,
                         .wire = more.wire,
                         .length = more.length});
  more.settles = tried(study, power).settles;
  return more;
}

}  // namespace

std::vector<Alternative> alternatives(const Study& study, const Network& network,
                                      const std::optional<Solution>& full) {
  using Kind = Alternative::Kind;
  std::vector<Alternative> all;
  const std::size_t pixels = network.pixels();
  const std::size_t lowest = full ? full->lowest : pixels / 2;
  if (pixels > 1 && !has(study.power, Feed::Kind::kTieBack)) {
    PowerDescription power = study.power;
    power.feeds.push_back({.kind = Feed::Kind::kTieBack, .at = {}, .wire = {}, .length = {}});
    all.push_back(
        {.kind = Kind::kTieBack,
         .pixel = PixelIndex::of(pixels),
         .wire = power.wire,
         .length = way_between(*study.frame, *study.map, PixelIndex::of(1), PixelIndex::of(pixels)),
         .settles = tried(study, power).settles});
  }
  if (lowest > 0) all.push_back(one_more_injection(study, PixelIndex::of(lowest + 1)));
  if (const auto wire = thicker(study.power.wire); wire && pixels > 1) {
    PowerDescription power = study.power;
    power.wire = *wire;
    all.push_back({.kind = Kind::kThickerWire,
                   .pixel = {},
                   .wire = *wire,
                   .length = {},
                   .settles = tried(study, power).settles});
  }
  if (study.power.lead) {
    if (const auto wire = thicker(study.power.lead->wire)) {
      PowerDescription power = study.power;
      power.lead->wire = *wire;
      all.push_back({.kind = Kind::kThickerLead,
                     .pixel = {},
                     .wire = *wire,
                     .length = power.lead->length,
                     .settles = tried(study, power).settles});
    }
  }
  return all;
}

std::vector<WireChoice> wire_choices(const Study& study, Volts enough) {
  constexpr std::array kGauges{22, 20, 18, 16, 14, 12};
  constexpr std::array kAreas{0.5, 0.75, 1.0, 1.5, 2.5, 4.0};
  std::vector<WireChoice> choices;
  for (std::size_t i = 0; i < kGauges.size(); ++i) {
    const bool by_gauge = std::holds_alternative<Wire::Awg>(study.power.wire.size);
    PowerDescription power = study.power;
    power.wire = by_gauge ? Wire{Wire::Awg{kGauges[i]}} : Wire{Wire::SquareMillimetres{kAreas[i]}};
    const Trial trial = tried(study, power);
    WireChoice choice{.wire = power.wire, .lowest = {}, .fuses_hold = false, .keeps_volts = false};
    if (trial.settles) {
      choice.lowest = trial.settles->lowest_volts();
      choice.keeps_volts = *choice.lowest >= enough;
      const auto fuses = fuses_of(*trial.network, *trial.settles, power.wire);
      choice.fuses_hold = std::all_of(fuses.begin(), fuses.end(),
                                      [](const LegFuse& leg) { return leg.fuse.holds; });
    }
    choices.push_back(choice);
  }
  return choices;
}

std::optional<Comparison> compare(const Study& study, const Solution& full) {
  const auto& measured = study.power.measured;
  if (!measured || !measured->near_volts || !measured->far_volts) return std::nullopt;
  Comparison both{.near_computed = full.volts.front(),
                  .near_measured = *measured->near_volts,
                  .drop_computed = full.volts.front() - full.volts.back(),
                  .drop_measured = *measured->near_volts - *measured->far_volts,
                  .contact = {}};
  constexpr Ohms kPlausible = Ohms::of(0.05);
  PowerDescription power = study.power;
  const auto drop_with = [&study, &power](Ohms contact) -> std::optional<Volts> {
    power.contact = contact;
    const auto settles = tried(study, power).settles;
    if (!settles) return std::nullopt;
    return settles->volts.front() - settles->volts.back();
  };
  Ohms good = study.power.contact;
  Ohms bad = kPlausible;
  const auto most = drop_with(kPlausible);
  if (both.drop_measured <= both.drop_computed || study.map->splices().empty() || good >= bad ||
      (most && *most < both.drop_measured)) {
    return both;
  }
  constexpr int kHalvings = 30;
  for (int i = 0; i < kHalvings; ++i) {
    const Ohms middle = (good + bad) * 0.5;
    const auto drop = drop_with(middle);
    (drop && *drop < both.drop_measured ? good : bad) = middle;
  }
  both.contact = good;
  return both;
}

}  // namespace panewalk::power
