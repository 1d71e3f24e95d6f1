#include <algorithm>
#include <array>

#include "practice/fault.hpp"

namespace panewalk::practice {
namespace {

/// Offsets, in channels and in universes, and nulls that somebody may have set by mistake.
constexpr std::int32_t kMostChannelsOff = 12;
constexpr std::int32_t kMostUniversesOff = 3;
constexpr std::int32_t kMostNulls = 6;

class FaultList {
 public:
  explicit FaultList(const Subject& subject)
      : subject_{subject},
        pixels_{static_cast<std::int32_t>(subject.map->size())},
        white_{subject.format.order.has_white()} {}

  std::vector<Fault> all() {
    faults_.push_back({});
    add_of_pixels();
    add_of_runs();
    add_of_places();
    add_of_settings();
    return std::move(faults_);
  }

 private:
  void add(FaultKind kind, std::int32_t value = 0) {
    faults_.push_back({.kind = kind, .value = value});
  }

  void add_of_pixels() {
    for (std::int32_t i = 1; i < pixels_; ++i) add(FaultKind::kDataOpen, i);
    if (subject_.fed_once) {
      for (std::int32_t i = 1; i < pixels_; ++i) add(FaultKind::kPowerOpen, i);
    }
    for (std::int32_t i = 1; i <= pixels_; ++i) {
      add(FaultKind::kPixelDark, i);
      add(FaultKind::kPixelSkipped, i);
      if (i < pixels_) add(FaultKind::kPixelExtra, i);
      add(FaultKind::kSag, i);
      for (int colour = 1; colour < kSeenColours; ++colour) {
        const auto of = static_cast<SeenColour>(colour);
        faults_.push_back({.kind = FaultKind::kPixelStuck, .value = i, .colour = of});
        const bool is_a_chip = of <= SeenColour::kBlue || (white_ && of == SeenColour::kWhite);
        if (is_a_chip) {
          faults_.push_back({.kind = FaultKind::kPixelColour, .value = i, .colour = of});
        }
      }
    }
  }

  void add_of_runs() {
    const auto runs = static_cast<std::int32_t>(subject_.map->runs().size());
    for (std::int32_t run = 1; run <= runs; ++run) {
      const wiring::Run& of = subject_.map->runs()[static_cast<std::size_t>(run) - 1];
      if (of.first != of.last) add(FaultKind::kRunReversed, run);
      for (std::int32_t other = run + 1; other <= runs; ++other) {
        faults_.push_back({.kind = FaultKind::kRunsSwapped, .value = run, .second = other});
      }
    }
  }

  void add_of_places() {
    std::vector<StationIndex> joints;
    for (const wiring::Pass& pass : subject_.map->passes()) {
      const auto pixel = subject_.map->pixel_of(pass.joint);
      const bool later = pixel && pass.after > pixel->value();
      if (later && std::find(joints.begin(), joints.end(), pass.joint) == joints.end()) {
        joints.push_back(pass.joint);
      }
    }
    for (const StationIndex joint : joints) {
      add(FaultKind::kJointLate, static_cast<std::int32_t>(joint.value()));
    }
    if (has_counterpart(mirror_station)) add(FaultKind::kMirrored);
    if (has_counterpart(turned_station)) add(FaultKind::kTurned);
  }

  [[nodiscard]] bool has_counterpart(std::optional<StationIndex> (*to)(const prop::Frame&,
                                                                       StationIndex)) const {
    const auto count = subject_.frame->stations().size();
    for (std::size_t i = 0; i < count; ++i) {
      if (!to(*subject_.frame, StationIndex::of(i))) return false;
    }
    return true;
  }

  void add_of_settings() {
    add_orders();
    for (std::int32_t nulls = 0; nulls <= subject_.placement.nulls + kMostNulls; ++nulls) {
      if (nulls != subject_.placement.nulls) add(FaultKind::kNulls, nulls);
    }
    for (std::int32_t off = -kMostChannelsOff; off <= kMostChannelsOff; ++off) {
      if (off != 0) add(FaultKind::kStartChannel, off);
    }
    const auto channels = subject_.format.order.channels();
    const auto usable = subject_.patch->usable();
    if (usable != 512) add(FaultKind::kPacking, 512);
    if (usable != patch::usable_channels(510, channels)) add(FaultKind::kPacking, 510);
    for (std::int32_t u = subject_.patch->first_universe(); u <= subject_.patch->last_universe();
         ++u) {
      add(FaultKind::kUniverseMissing, u);
    }
    for (std::int32_t off = -kMostUniversesOff; off <= kMostUniversesOff; ++off) {
      if (off != 0) add(FaultKind::kUniverseShifted, off);
    }
    const auto chips = static_cast<std::int32_t>(subject_.patch->chips());
    for (std::int32_t count = 1; count < chips; ++count) add(FaultKind::kCountShort, count);
    for (std::size_t other = 0; other < subject_.prop_names.size(); ++other) {
      if (other != subject_.prop) {
        add(FaultKind::kLeadsExchanged, static_cast<std::int32_t>(other));
      }
    }
    add(FaultKind::kNoResponse);
  }

  void add_orders() {
    std::string letters = white_ ? "BGRW" : "BGR";  // ascending
    do {
      const auto order = *light::ColourOrder::from(letters);
      if (order == subject_.format.order) continue;
      faults_.push_back({.kind = FaultKind::kColourOrder, .order = order});
    } while (std::next_permutation(letters.begin(), letters.end()));
  }

  const Subject& subject_;
  std::int32_t pixels_;
  bool white_;
  std::vector<Fault> faults_;
};

}  // namespace

std::vector<Fault> all_faults(const Subject& subject) { return FaultList{subject}.all(); }

}  // namespace panewalk::practice
