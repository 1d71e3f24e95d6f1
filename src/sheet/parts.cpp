#include "sheet/parts.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "config/units.hpp"

namespace panewalk::sheet {
namespace {

/// The longest wire between two pixels that follow each other in a run.
Millimetres longest_step(const engine::PlannedProp& prop) {
  Millimetres longest;
  for (std::size_t i = 2; i <= prop.map.size(); ++i) {
    const auto pixel = base::PixelIndex::of(i);
    if (prop.map.reached_by(pixel) != wiring::ReachedBy::kRun) continue;
    const auto before = prop.map.station_of(base::PixelIndex::of(i - 1));
    for (const prop::Neighbour& next : prop.frame.neighbours(before)) {
      if (next.station == prop.map.station_of(pixel)) longest = std::max(longest, next.along);
    }
  }
  return longest;
}

class Lister {
 public:
  explicit Lister(const PartsAsked& asked) : asked_{asked}, prop_{*asked.prop} {}

  std::vector<Part> all() {
    pixels();
    pipe();
    wire();
    fuses();
    small_parts();
    return std::move(parts_);
  }

 private:
  void add(std::string what, std::string how_many, std::string note = "") {
    parts_.push_back({std::move(what), std::move(how_many), std::move(note)});
  }
  [[nodiscard]] std::string length(Millimetres amount) const {
    return length_text(amount, asked_.units);
  }

  /// Of a reel: metres to a tenth or half feet, rounded up.
  [[nodiscard]] std::string reel(Millimetres amount) const {
    constexpr double kFoot = 304.8;
    if (asked_.units == Units::kInches) {
      return rounded(std::ceil(amount.value() / kFoot * 2) / 2, 1) + " ft";
    }
    return rounded(std::ceil(amount.value() / 100) / 10, 1) + " m";
  }

  void pixels() {
    const std::size_t nulls = static_cast<std::size_t>(prop_.placement.nulls);
    const auto behind = static_cast<std::size_t>(prop_.map.spare_count());
    const std::size_t chain = prop_.map.size() + nulls + behind;
    const std::size_t spare = spare_pixels(chain);
    std::string note = std::to_string(prop_.map.size()) + " on the frame";
    if (nulls > 0) note += ", " + counted(nulls, "null", "nulls") + " in the lead";
    if (behind > 0) note += ", " + std::to_string(behind) + " behind the frame";
    note += ", " + std::to_string(spare) + " to spare (5 %, at least 3), all of one batch; " +
            config::decimal(prop_.pixel_power.volts.value()) + " V, " +
            std::to_string(prop_.format.order.channels()) + " channels";
    const Millimetres step = longest_step(prop_);
    if (step.value() > 0) {
      note += "; at least " + length(step + base::Millimetres::of(25.4)) +
              " of wire from pixel to pixel (the widest gap and 1 in)";
    }
    add("Pixels", std::to_string(chain + spare), note);
  }

  void pipe() {
    const CutList& cuts = *asked_.cuts;
    if (cuts.pieces.empty()) return;
    add("Pipe, " + length(asked_.pipe.outside) + " outside",
        counted(cuts.packing.sticks.size(), "stick", "sticks"), "of " + length(asked_.pipe.stock));
    for (const Fittings& kind : cuts.fittings) {
      add(static_cast<char>(std::toupper(static_cast<unsigned char>(kind.kind.front()))) +
              kind.kind.substr(1),
          std::to_string(kind.joints.size()), base::listed(kind.joints));
    }
  }

  void wire() {
    for (const WireTotal& total : totals(wires(prop_))) {
      add("Wire, " + total.size, reel(total.length),
          "all conductors together, for hops, jumps and power pairs; the string's own wire and "
          "what "
          "you spoil not counted");
    }
  }

  void fuses() {
    std::map<double, std::size_t> values;
    std::size_t holders = 0;
    for (const power::LegFuse& leg : asked_.report->fuses) {
      if (leg.covered || !leg.fuse.amps) continue;
      ++values[leg.fuse.amps->value()];
      ++holders;
    }
    if (holders > 0) add("Fuse holders, in line", std::to_string(holders), "one a leg");
    for (const auto& [amps, count] : values) {
      add("Fuses, " + config::decimal(amps) + " A", std::to_string(count + 2),
          std::to_string(count) + " and 2 to spare");
    }
  }

  void small_parts() {
    const std::size_t splices = prop_.map.splices().size();
    if (splices > 0) {
      add("Heat-shrink sleeves, lined with glue", std::to_string(splices * 8 + 6),
          "per splice 6 for the conductors and 2 over all, and 6 to spare; do not heat the pipe");
    }
    add("Plug pair, against water", "1",
        "for the lead-in; keep the lead from an unbuffered output to 3 m (10 ft)");
    constexpr double kTieEvery = 380;  // mm: 15 in, between 12 and 18
    double bars = 0;
    for (const prop::Bar& bar : prop_.frame.bars()) bars += bar.length.value();
    if (bars > 0) {
      add("Cable ties", std::to_string(static_cast<long long>(std::ceil(bars / kTieEvery))),
          "one every " + length(base::Millimetres::of(kTieEvery)));
    }
  }

  const PartsAsked& asked_;
  const engine::PlannedProp& prop_;
  std::vector<Part> parts_;
};

}  // namespace

std::size_t spare_pixels(std::size_t in_chain) {
  return std::max<std::size_t>(3, (in_chain + 19) / 20);
}

std::vector<Part> parts(const PartsAsked& asked) { return Lister{asked}.all(); }

}  // namespace panewalk::sheet
