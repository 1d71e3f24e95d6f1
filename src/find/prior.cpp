#include "find/prior.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <numeric>

namespace panewalk::find {
namespace {

using practice::Fault;
using practice::FaultKind;
using practice::Subject;

/// Relative weights by FaultKind, bench and yard. All are estimates: no published figures exist.
/// They add up what leads to the same sight (a break is a wire, an output, an input or a cold
/// joint); "none" stands for what turns out well after all.
struct Weight {
  double bench = 0, yard = 0;
};
constexpr std::array<Weight, practice::kFaultKinds> kWeights{{
    {45, 25},      // none
    {33.5, 41.5},  // data-open
    {7, 9.3},      // power-open
    {1.2, 5},      // pixel-dark
    {2, 3},        // pixel-colour
    {1, 2},        // pixel-stuck
    {8, 0.5},      // colour-order
    {9, 0.5},      // run-reversed
    {6, 0.2},      // runs-swapped
    {4.5, 0.15},   // pixel-skipped
    {4.5, 0.15},   // pixel-extra
    {6, 0.1},      // joint-late
    {6, 0.2},      // mirrored
    {1, 2},        // turned
    {2, 0.5},      // nulls
    {4, 0.4},      // start-channel
    {3, 0.3},      // packing
    {3, 0.3},      // universe-missing
    {10, 1.5},     // universe-shifted
    {5, 0.7},      // count-short
    {3, 4},        // leads-exchanged
    {30, 36.7},    // no-response
    {15, 15},      // sag
}};
/// A fault that was mended here counts as this many in a hundred of the table.
constexpr double kOfTable = 100;
constexpr double kShareAtSplices = 0.8;
/// No table is that right: this much of the weight goes to all kinds alike, and within a kind to
/// all values alike.
constexpr double kToAllAlike = 0.15;

bool after_splice(const Subject& subject, std::int32_t pixel) {
  const auto& splices = subject.map->splices();
  return std::any_of(splices.begin(), splices.end(), [pixel](const wiring::Splice& splice) {
    return static_cast<std::int32_t>(splice.from.value()) == pixel;
  });
}

double of_break(const Subject& subject, std::int32_t pixel) {
  const auto splices = static_cast<double>(subject.map->splices().size());
  const double places = static_cast<double>(subject.map->size()) - 1;
  if (splices == 0 || splices == places) return 1;
  return after_splice(subject, pixel) ? kShareAtSplices / splices
                                      : (1 - kShareAtSplices) / (places - splices);
}

/// Round numbers are what a count is left at.
double of_count(std::int32_t count) {
  if (count % 170 == 0 || count % 50 == 0) return 20;
  return count % 10 == 0 ? 3 : 1;
}

double of_offset(const Subject& subject, std::int32_t offset) {
  const double near = std::pow(0.6, std::abs(offset) - 1);
  const bool exists = subject.placement.channel + offset >= 1;
  return exists ? near : near / 20;
}

/// Relative within the kind.
double within_kind(const Subject& subject, const Fault& fault) {
  switch (fault.kind) {
    case FaultKind::kDataOpen:
    case FaultKind::kPowerOpen: return of_break(subject, fault.value);
    case FaultKind::kNulls: return std::pow(0.5, std::abs(fault.value - subject.placement.nulls));
    case FaultKind::kStartChannel: return of_offset(subject, fault.value);
    case FaultKind::kUniverseShifted: return std::pow(0.1, std::abs(fault.value) - 1);
    case FaultKind::kCountShort: return of_count(fault.value);
    default: return 1;
  }
}

}  // namespace

std::string_view to_text(Place place) { return place == Place::kBench ? "bench" : "yard"; }

std::vector<double> prior_of(const Subject& subject, const std::vector<Fault>& faults,
                             const Experience& known) {
  std::array<double, practice::kFaultKinds> of_kind{};
  std::array<double, practice::kFaultKinds> within{};
  std::array<double, practice::kFaultKinds> values{};
  std::vector<double> prior(faults.size());
  for (std::size_t i = 0; i < faults.size(); ++i) {
    prior[i] = within_kind(subject, faults[i]);
    const auto kind = static_cast<std::size_t>(faults[i].kind);
    within[kind] += prior[i];
    values[kind] += 1;
  }
  double table = 0;
  double kinds = 0;
  for (std::size_t k = 0; k < of_kind.size(); ++k) {
    if (within[k] == 0) continue;
    of_kind[k] = known.place == Place::kBench ? kWeights[k].bench : kWeights[k].yard;
    table += of_kind[k];
    kinds += 1;
  }
  for (double& weight : of_kind) {
    if (weight > 0) weight = weight * (1 - kToAllAlike) + table / kinds * kToAllAlike;
  }
  for (const FaultKind mended : known.mended) {
    of_kind[static_cast<std::size_t>(mended)] += table / kOfTable;
  }
  for (std::size_t i = 0; i < faults.size(); ++i) {
    const auto kind = static_cast<std::size_t>(faults[i].kind);
    const double share = prior[i] / within[kind] * (1 - kToAllAlike) + kToAllAlike / values[kind];
    prior[i] = of_kind[kind] * share;
  }
  const double all = std::accumulate(prior.begin(), prior.end(), 0.0);
  for (double& each : prior) each /= all;
  return prior;
}

}  // namespace panewalk::find
