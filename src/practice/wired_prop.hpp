#pragma once

#include <optional>
#include <span>
#include <vector>

#include "base/quantity.hpp"
#include "light/colour.hpp"
#include "patch/patch.hpp"
#include "prop/frame.hpp"
#include "wiring/pixel_map.hpp"

/// What a wired prop shows for the packets it gets.
namespace panewalk::practice {

using base::StationIndex;

/// How a prop really is: the chain as wired, and what its controller is set to. A sound one follows
/// from the description; a fault is a change to this.
struct AsBuilt {
  /// The chips from the lead-in on; none: at no station (nulls, spares).
  std::vector<std::optional<StationIndex>> chain;
  std::size_t stations = 0;
  light::ColourOrder order;  ///< of the chips
  std::uint16_t universe = 1;
  std::uint16_t channel = 1;
  std::uint16_t usable = 510;    ///< channels that the controller reads of each universe
  std::size_t driven_chips = 0;  ///< the controller's count, nulls included
};

AsBuilt as_described(const prop::Frame& frame, const wiring::PixelMap& map,
                     const patch::ControllerDescription& controller,
                     const patch::Placement& placement, const patch::PixelFormat& format);

/// The levels of a universe as a controller holds them.
struct UniverseLevels {
  std::uint16_t universe = 0;
  std::array<std::uint8_t, 512> levels{};
};

/// What each station shows, by StationIndex, when the controller holds these levels. A universe
/// that never came is dark. `shown` has one colour a station.
void show(const AsBuilt& prop, std::span<const UniverseLevels> universes,
          std::span<light::Colour> shown);

}  // namespace panewalk::practice
