#include "io/practice_faults.hpp"

#include <algorithm>
#include <set>
#include <utility>

#include "base/check.hpp"
#include "site/told.hpp"

namespace panewalk::io {
namespace {

using practice::Fault;
using practice::FaultKind;

/// Faults name pixels by the sound chain. Those that keep its length come first, then what takes
/// pixels out or adds some, from the far end on, then the nulls before them all.
int turn_of(FaultKind kind) {
  switch (kind) {
    case FaultKind::kRunReversed: return 0;
    case FaultKind::kRunsSwapped: return 1;
    case FaultKind::kJointLate: return 2;
    case FaultKind::kMirrored:
    case FaultKind::kTurned: return 3;
    case FaultKind::kPixelSkipped:
    case FaultKind::kPixelExtra: return 4;
    case FaultKind::kNulls: return 5;
    default: return 6;
  }
}

bool comes_before(const Fault& a, const Fault& b) {
  constexpr int kFromTheFarEnd = 4;
  constexpr int kSettings = 6;  // the later one holds
  const int turn = turn_of(a.kind);
  if (turn != turn_of(b.kind)) return turn < turn_of(b.kind);
  if (turn == kSettings) return false;
  if (a.value != b.value) return turn == kFromTheFarEnd ? a.value > b.value : a.value < b.value;
  return std::pair{a.second, a.kind} < std::pair{b.second, b.kind};
}

std::vector<Fault> each_once(const std::vector<Fault>& faults) {
  std::vector<Fault> once;
  for (const Fault& fault : faults) {
    if (std::find(once.begin(), once.end(), fault) == once.end()) once.push_back(fault);
  }
  const auto nulls = [](const Fault& fault) { return fault.kind == FaultKind::kNulls; };
  const auto last = std::find_if(once.rbegin(), once.rend(), nulls);
  if (last != once.rend()) {
    const Fault kept = *last;
    once.erase(std::remove_if(once.begin(), once.end(), nulls), once.end());
    once.push_back(kept);
  }
  return once;
}

/// All faults of a prop of the plan.
std::vector<Fault> faults_of(const std::vector<PracticeFault>& faults, const std::string& prop) {
  std::vector<Fault> all;
  for (const PracticeFault& each : faults) {
    if (each.prop == prop) all.insert(all.end(), each.faults.begin(), each.faults.end());
  }
  return all;
}

void exchange_leads(practice::Yard::Prop& one, practice::Yard::Prop& other) {
  std::swap(one.controller, other.controller);
  std::swap(one.built.port, other.built.port);
  one.built.lead_elsewhere = false;
  other.built.lead_elsewhere = false;
}

}  // namespace

bool is_of_a_pixel(FaultKind kind) {
  return kind == FaultKind::kPixelDark || kind == FaultKind::kPixelColour ||
         kind == FaultKind::kPixelStuck;
}

practice::AsBuilt built_with(const practice::Subject& subject, std::vector<Fault> faults) {
  faults = each_once(faults);
  const auto of_pixels = std::count_if(
      faults.begin(), faults.end(), [](const Fault& fault) { return is_of_a_pixel(fault.kind); });
  PANEWALK_CHECK(static_cast<std::size_t>(of_pixels) <= kMostFaultyPixels);
  std::stable_sort(faults.begin(), faults.end(), comes_before);
  practice::AsBuilt built = practice::as_described(subject);
  for (const Fault& fault : faults) built = practice::with_fault(subject, built, fault);
  return built;
}

practice::Yard wire_yard(const engine::Plan& plan, const std::vector<PracticeFault>& faults) {
  std::vector<patch::Protocol> protocols;
  for (const auto& controller : plan.controllers) protocols.push_back(controller.protocol);
  for (const PracticeFault& fault : faults) PANEWALK_CHECK(plan.find_prop(fault.prop).has_value());
  std::vector<practice::Yard::Prop> props;
  std::set<std::pair<std::size_t, std::size_t>> exchanged;  // each pair once, whoever names it
  for (std::size_t i = 0; i < plan.props.size(); ++i) {
    const std::vector<Fault> of = faults_of(faults, plan.props[i]->name);
    for (const Fault& fault : of) {
      const auto other = static_cast<std::size_t>(fault.value);
      if (fault.kind == FaultKind::kLeadsExchanged) exchanged.insert(std::minmax(i, other));
    }
    props.push_back({.built = built_with(site::subject_of(plan, i), of),
                     .controller = plan.patch.props[i].controller()});
  }
  for (const auto& [one, other] : exchanged) exchange_leads(props[one], props[other]);
  return practice::Yard{protocols, std::move(props)};
}

std::vector<PracticeFault> carried_over(const std::vector<PracticeFault>& faults,
                                        const engine::Plan& before, const engine::Plan& after) {
  std::vector<PracticeFault> carried;
  for (const PracticeFault& each : faults) {
    const auto was = before.find_prop(each.prop);
    const auto is = after.find_prop(each.prop);
    if (!was || !is || before.patch.props[*was].chips() != after.patch.props[*is].chips()) continue;
    PracticeFault kept{.prop = each.prop, .faults = {}};
    for (const Fault& fault : each.faults) {
      // Joints and other props are numbered anew: what stays is how the fault is written.
      const std::string text = practice::to_text(site::subject_of(before, *was), fault);
      const auto read = practice::read_fault(site::subject_of(after, *is), text);
      if (read) kept.faults.push_back(read.value());
    }
    carried.push_back(std::move(kept));
  }
  return carried;
}

}  // namespace panewalk::io
