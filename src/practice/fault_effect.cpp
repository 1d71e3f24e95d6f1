#include <algorithm>

#include "base/check.hpp"
#include "practice/fault.hpp"

namespace panewalk::practice {
namespace {

using Chips = std::vector<std::optional<StationIndex>>;
using base::PixelIndex;

std::size_t chip_of(const Subject& subject, std::int32_t pixel) {
  return subject.patch->slot_of(PixelIndex::of(static_cast<std::size_t>(pixel)));
}

/// The chips of a run, spares between its pixels included.
struct Block {
  std::size_t first = 0, end = 0;
};
Block block_of(const Subject& subject, std::int32_t run) {
  const wiring::Run& of = subject.map->runs()[static_cast<std::size_t>(run) - 1];
  return {subject.patch->slot_of(of.first), subject.patch->slot_of(of.last) + 1};
}

using Steps = std::ptrdiff_t;

Chips reversed(Chips chips, Block run) {
  std::reverse(chips.begin() + static_cast<Steps>(run.first),
               chips.begin() + static_cast<Steps>(run.end));
  return chips;
}

Chips swapped(Chips chips, Block one, Block other) {
  if (other.first < one.first) std::swap(one, other);
  const auto begin = chips.begin();
  const auto at = [begin](std::size_t i) { return begin + static_cast<Steps>(i); };
  // The later one to the front; then what lay between comes before the earlier one.
  std::rotate(at(one.first), at(other.first), at(other.end));
  const std::size_t after = one.first + (other.end - other.first);
  std::rotate(at(after), at(after + (one.end - one.first)), at(other.end));
  return chips;
}

Chips joint_late(const Subject& subject, Chips chips, StationIndex joint) {
  const auto pixel = subject.map->pixel_of(joint);
  PANEWALK_CHECK(pixel.has_value());
  for (const wiring::Pass& pass : subject.map->passes()) {
    if (pass.joint != joint || pass.after <= pixel->value()) continue;
    const std::size_t from = subject.patch->slot_of(*pixel);
    const std::size_t to = subject.patch->slot_of(PixelIndex::of(pass.after));
    std::rotate(chips.begin() + static_cast<Steps>(from),
                chips.begin() + static_cast<Steps>(from) + 1,
                chips.begin() + static_cast<Steps>(to) + 1);
    break;
  }
  return chips;
}

Chips moved(const Subject& subject, Chips chips,
            std::optional<StationIndex> (*to)(const prop::Frame&, StationIndex)) {
  std::vector<bool> taken(subject.frame->stations().size());
  for (auto& station : chips) {
    if (!station) continue;
    station = to(*subject.frame, *station);
    if (station && taken[station->value()]) station.reset();
    if (station) taken[station->value()] = true;
  }
  return chips;
}

Chips with_nulls(const Subject& subject, Chips chips, std::int32_t nulls) {
  chips.erase(chips.begin(), chips.begin() + subject.placement.nulls);
  chips.insert(chips.begin(), static_cast<std::size_t>(nulls), std::nullopt);
  return chips;
}

Chips wired_with(const Subject& subject, Chips chips, const Fault& fault) {
  switch (fault.kind) {
    case FaultKind::kRunReversed: return reversed(std::move(chips), block_of(subject, fault.value));
    case FaultKind::kRunsSwapped:
      return swapped(std::move(chips), block_of(subject, fault.value),
                     block_of(subject, fault.second));
    case FaultKind::kPixelSkipped:
      chips.erase(chips.begin() + static_cast<Steps>(chip_of(subject, fault.value)));
      return chips;
    case FaultKind::kPixelExtra:
      chips.insert(chips.begin() + static_cast<Steps>(chip_of(subject, fault.value)) + 1,
                   std::nullopt);
      return chips;
    case FaultKind::kJointLate:
      return joint_late(subject, std::move(chips),
                        StationIndex::of(static_cast<std::size_t>(fault.value)));
    case FaultKind::kMirrored: return moved(subject, std::move(chips), mirror_station);
    case FaultKind::kTurned: return moved(subject, std::move(chips), turned_station);
    default: return with_nulls(subject, std::move(chips), fault.value);
  }
}

bool changes_the_chain(FaultKind kind) {
  switch (kind) {
    case FaultKind::kRunReversed:
    case FaultKind::kRunsSwapped:
    case FaultKind::kPixelSkipped:
    case FaultKind::kPixelExtra:
    case FaultKind::kJointLate:
    case FaultKind::kMirrored:
    case FaultKind::kTurned:
    case FaultKind::kNulls: return true;
    default: return false;
  }
}

void add_chip_fault(AsBuilt& built, ChipFault fault) {
  auto& free = built.chip_faults[0].kind == ChipFault::Kind::kNone ? built.chip_faults[0]
                                                                   : built.chip_faults[1];
  free = fault;
}

}  // namespace

AsBuilt as_described(const Subject& subject) {
  AsBuilt built;
  Chips chips(subject.patch->chips());
  for (std::size_t i = 1; i <= subject.map->size(); ++i) {
    chips[subject.patch->slot_of(PixelIndex::of(i))] = subject.map->station_of(PixelIndex::of(i));
  }
  built.chain = std::make_shared<const Chain>(std::move(chips), subject.frame->stations().size());
  built.order = subject.format.order;
  built.port = {.universe = static_cast<std::int32_t>(subject.placement.universe),
                .first = static_cast<std::int32_t>(subject.placement.channel) - 1,
                .usable = subject.patch->usable(),
                .driven_chips = subject.patch->chips()};
  return built;
}

AsBuilt with_fault(const Subject& subject, const AsBuilt& built, const Fault& fault) {
  AsBuilt faulty = built;
  if (changes_the_chain(fault.kind)) {
    faulty.chain = std::make_shared<const Chain>(wired_with(subject, built.chain->all(), fault),
                                                 subject.frame->stations().size());
    return faulty;
  }
  const auto chip = [&] { return chip_of(subject, fault.value); };
  switch (fault.kind) {
    case FaultKind::kDataOpen:
      faulty.chips_with_data = std::min(faulty.chips_with_data, chip() + 1);
      break;
    case FaultKind::kPowerOpen:
      faulty.chips_with_power = std::min(faulty.chips_with_power, chip() + 1);
      break;
    case FaultKind::kPixelDark:
      add_chip_fault(faulty, {.kind = ChipFault::Kind::kDark, .chip = chip()});
      break;
    case FaultKind::kPixelColour:
      add_chip_fault(faulty,
                     {.kind = ChipFault::Kind::kLacks, .colour = fault.colour, .chip = chip()});
      break;
    case FaultKind::kPixelStuck:
      add_chip_fault(faulty,
                     {.kind = ChipFault::Kind::kStuck, .colour = fault.colour, .chip = chip()});
      faulty.chips_with_data = std::min(faulty.chips_with_data, chip() + 1);
      break;
    case FaultKind::kColourOrder: faulty.order = fault.order; break;
    case FaultKind::kStartChannel: faulty.port.first += fault.value; break;
    case FaultKind::kPacking:
      faulty.port.usable = patch::usable_channels(fault.value, subject.format.order.channels());
      break;
    case FaultKind::kUniverseMissing: faulty.port.missing_universe = fault.value; break;
    case FaultKind::kUniverseShifted: faulty.port.universe += fault.value; break;
    case FaultKind::kCountShort:
      faulty.port.driven_chips = static_cast<std::size_t>(fault.value);
      break;
    case FaultKind::kLeadsExchanged: faulty.lead_elsewhere = true; break;
    case FaultKind::kNoResponse: faulty.chips_with_power = 0; break;
    case FaultKind::kSag: faulty.sags_from = chip(); break;
    default: break;
  }
  return faulty;
}

}  // namespace panewalk::practice
