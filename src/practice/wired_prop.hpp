#pragma once

#include <array>
#include <limits>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "base/quantity.hpp"
#include "light/colour.hpp"
#include "patch/patch.hpp"
#include "practice/seen_colour.hpp"
#include "prop/frame.hpp"
#include "wiring/pixel_map.hpp"

/// What a wired prop shows for the packets it gets.
namespace panewalk::practice {

using base::StationIndex;

/// The chips from the lead-in on and the stations that they sit at. Shared by all that is wired
/// alike.
class Chain {
 public:
  /// A chip without a station is a null, a spare, or hangs where no station is. No station has two
  /// chips.
  Chain(std::vector<std::optional<StationIndex>> chips, std::size_t stations);

  [[nodiscard]] std::size_t chips() const { return chips_.size(); }
  [[nodiscard]] std::size_t stations() const { return chip_of_.size(); }
  [[nodiscard]] std::optional<StationIndex> station_of(std::size_t chip) const {
    return chips_[chip];
  }
  /// None: no chip sits there.
  [[nodiscard]] std::optional<std::size_t> chip_of(StationIndex station) const {
    const std::uint32_t chip = chip_of_[station.value()];
    if (chip == kNone) return std::nullopt;
    return chip;
  }
  [[nodiscard]] const std::vector<std::optional<StationIndex>>& all() const { return chips_; }

 private:
  static constexpr std::uint32_t kNone = std::numeric_limits<std::uint32_t>::max();
  std::vector<std::optional<StationIndex>> chips_;
  std::vector<std::uint32_t> chip_of_;
};

/// What a controller is set to for one output.
struct Port {
  std::int32_t universe = 1;
  /// Channels of that universe before the first chip's; below 0 where a fault has it so.
  std::int32_t first = 0;
  std::int32_t usable = 510;           ///< channels that it reads of each universe
  std::size_t driven_chips = 0;        ///< its count, nulls included
  std::int32_t missing_universe = -1;  ///< one that never comes; −1: none
  bool operator==(const Port&) const = default;
};

/// A chip that does not show what it is told.
struct ChipFault {
  enum class Kind : std::uint8_t {
    kNone,
    kDark,   ///< shows nothing, passes the data on
    kLacks,  ///< without one colour
    kStuck,  ///< shows one colour
  };
  Kind kind = Kind::kNone;
  SeenColour colour = SeenColour::kDark;  ///< lacking or shown
  std::size_t chip = 0;
};

/// How a prop really is: the chain as wired, and what its controller is set to. A sound one follows
/// from the description; a fault is a change to this.
struct AsBuilt {
  static constexpr std::size_t kAll = std::numeric_limits<std::size_t>::max();

  std::shared_ptr<const Chain> chain;
  light::ColourOrder order;  ///< of the chips
  Port port;
  std::size_t chips_with_data = kAll;   ///< from the lead-in on
  std::size_t chips_with_power = kAll;  ///< from the lead-in on
  std::size_t sags_from = kAll;         ///< chips from here on lose their blue in bright white
  std::array<ChipFault, 2> chip_faults{};
  bool lead_elsewhere = false;  ///< what is sent to its port goes to another prop
};

/// The levels of a universe as a controller holds them.
struct UniverseLevels {
  std::uint16_t universe = 0;
  std::array<std::uint8_t, 512> levels{};
};

/// What a chip is told when the controller holds these levels, ascending by universe, in its own
/// order of colours. A universe that never came is dark.
light::Colour told(const AsBuilt& prop, std::span<const UniverseLevels> universes,
                   std::size_t chip);
/// What a chip that would be told this shows: nothing past a break, what it is stuck at, and so on.
light::Colour shown_by(const AsBuilt& prop, std::size_t chip, light::Colour told);

/// What a station shows when the controller holds these levels.
light::Colour shown_at(const AsBuilt& prop, std::span<const UniverseLevels> universes,
                       StationIndex station);

/// What each station shows, by StationIndex. `shown` has one colour a station.
void show(const AsBuilt& prop, std::span<const UniverseLevels> universes,
          std::span<light::Colour> shown);

/// The station that shows what is sent in a channel (from 0) of a universe, if any does: shown_at
/// the other way round, but for chips that are stuck or lack power.
std::optional<StationIndex> station_told_by(const AsBuilt& prop, std::int32_t universe,
                                            std::int32_t channel);

}  // namespace panewalk::practice
