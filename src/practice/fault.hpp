#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "practice/wired_prop.hpp"

namespace panewalk::practice {

/// Everything that the practice yard can do to a prop and that the fault finder can name.
enum class FaultKind : std::uint8_t {
  kNone,
  kDataOpen,         ///< no data past a pixel
  kPowerOpen,        ///< no power past a pixel
  kPixelDark,        ///< one pixel dark, the data passes
  kPixelColour,      ///< one colour missing in one pixel
  kPixelStuck,       ///< shows one colour, passes nothing on
  kColourOrder,      ///< the chips take their colours in another order
  kRunReversed,      ///< the data enters a run at its other end
  kRunsSwapped,      ///< two runs in exchanged order
  kPixelSkipped,     ///< a station without a pixel: it stays dark, each later one is one early
  kPixelExtra,       ///< a pixel too many at no station: each later one is one late
  kJointLate,        ///< a joint's pixel wired when the data met the joint again
  kMirrored,         ///< wired as if the back drawing were the front
  kTurned,           ///< hung upside down
  kNulls,            ///< null pixels other than the site says
  kStartChannel,     ///< the receiver starts some channels later
  kPacking,          ///< the receiver cuts universes otherwise
  kUniverseMissing,  ///< a universe never arrives
  kUniverseShifted,  ///< the receiver listens some universes higher
  kCountShort,       ///< the controller drives fewer pixels than there are
  kLeadsExchanged,   ///< the leads of two props are swapped
  kNoResponse,       ///< nothing lights
  kSag,              ///< the far end starves under load
};
inline constexpr int kFaultKinds = 23;
/// "data-open" …
std::string_view to_text(FaultKind kind);
std::optional<FaultKind> fault_kind_from(std::string_view text);
/// All names, for hints.
std::vector<std::string> fault_kind_names();

/// What is wrong with one prop. `value` is, by kind: a pixel's index (data-open, power-open,
/// pixel-…, sag), a run from 1, a joint's station by StationIndex, a count (nulls, count-short), an
/// offset (start-channel, universe-shifted), 510 or 512 (packing), a universe, or the index of the
/// other prop in the site (leads-exchanged).
struct Fault {
  FaultKind kind = FaultKind::kNone;
  std::int32_t value = 0;
  std::int32_t second = 0;                ///< runs-swapped: the other run, the greater
  SeenColour colour = SeenColour::kDark;  ///< pixel-colour, pixel-stuck
  light::ColourOrder order;               ///< colour-order: as wired
  bool operator==(const Fault&) const = default;
};

/// One prop as faults see it. What it points to outlives it.
struct Subject {
  const prop::Frame* frame = nullptr;
  const wiring::PixelMap* map = nullptr;
  const patch::PropPatch* patch = nullptr;
  patch::PixelFormat format;
  patch::Placement placement;
  bool fed_once = true;                 ///< at the lead-in only: a break of the power shows
  std::size_t prop = 0;                 ///< its index in the site
  std::vector<std::string> prop_names;  ///< of the site
};

/// The sound prop.
AsBuilt as_described(const Subject& subject);

/// The prop with one more thing wrong. A mirrored or turned prop whose shape has no such
/// counterpart shows nothing where none is. Precondition: the fault is one of this prop.
AsBuilt with_fault(const Subject& subject, const AsBuilt& built, const Fault& fault);

/// Each fault that the prop can have with each of its values, kNone first; the far ends of open
/// ranges (offsets, nulls) are cut where nobody would set them.
std::vector<Fault> all_faults(const Subject& subject);

/// The part after "=" as it is written, such as "17", "17:red", "B2", "-1"; "" where it has none.
std::string value_text(const Subject& subject, const Fault& fault);
/// "data-open=17".
std::string to_text(const Subject& subject, const Fault& fault);
/// Both parts as written: "data-open=17". A problem says what is allowed for this prop.
base::Result<Fault, base::Problem> read_fault(const Subject& subject, std::string_view text);

/// The station across the middle of the prop, left for right; none where the shape has none within
/// 5 mm.
std::optional<StationIndex> mirror_station(const prop::Frame& frame, StationIndex station);
/// The same for the prop turned by half.
std::optional<StationIndex> turned_station(const prop::Frame& frame, StationIndex station);

}  // namespace panewalk::practice
