#include "find/hypotheses.hpp"

namespace panewalk::find {

using practice::Fault;
using practice::FaultKind;
using practice::Subject;

std::vector<Hypothesis> single_faults(const Subject& subject, const Experience& known) {
  const std::vector<Fault> faults = practice::all_faults(subject);
  const std::vector<double> prior = prior_of(subject, faults, known);
  const practice::AsBuilt sound = practice::as_described(subject);
  std::vector<Hypothesis> all;
  all.reserve(faults.size());
  for (std::size_t i = 0; i < faults.size(); ++i) {
    all.push_back({.fault = faults[i],
                   .second = {},
                   .built = practice::with_fault(subject, sound, faults[i]),
                   .prior = prior[i]});
  }
  return all;
}

namespace {

/// A break or a wrong turn of the wire comes with a wrong colour order as often as chance has it:
/// both are there from the first day, and who sees the one has not yet looked for the other. A
/// single bad pixel is seen only once the colours are right (estimate).
double share_of_second(FaultKind kind) { return kind == FaultKind::kPixelDark ? 0.2 : 1; }

}  // namespace

Hypothesis pair_of(const Subject& subject, const Hypothesis& order, const Hypothesis& other) {
  return {.fault = other.fault,
          .second = order.fault,
          .built = practice::with_fault(subject, other.built, order.fault),
          .prior = share_of_second(other.fault.kind) * order.prior * other.prior};
}

bool pairs_with_colour_order(FaultKind kind) {
  switch (kind) {
    case FaultKind::kDataOpen:
    case FaultKind::kPowerOpen:
    case FaultKind::kPixelDark:
    case FaultKind::kRunReversed:
    case FaultKind::kRunsSwapped:
    case FaultKind::kPixelSkipped:
    case FaultKind::kPixelExtra:
    case FaultKind::kJointLate:
    case FaultKind::kMirrored:
    case FaultKind::kTurned:
    case FaultKind::kNulls:
    case FaultKind::kUniverseMissing:
    case FaultKind::kCountShort: return true;
    default: return false;
  }
}

std::int32_t locus(const Subject& subject, const Fault& fault) {
  switch (fault.kind) {
    case FaultKind::kDataOpen:
    case FaultKind::kPowerOpen:
    case FaultKind::kPixelDark:
    case FaultKind::kPixelColour:
    case FaultKind::kPixelStuck:
    case FaultKind::kPixelSkipped:
    case FaultKind::kPixelExtra:
    case FaultKind::kSag: return fault.value;
    case FaultKind::kCountShort: {
      std::int32_t last = 0;
      const auto pixels = static_cast<std::int32_t>(subject.map->size());
      for (std::int32_t i = 1; i <= pixels; ++i) {
        const auto pixel = base::PixelIndex::of(static_cast<std::size_t>(i));
        if (static_cast<std::int32_t>(subject.patch->slot_of(pixel)) >= fault.value) break;
        last = i;
      }
      return last;
    }
    default: return 0;
  }
}

}  // namespace panewalk::find
