#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "power/description.hpp"
#include "power/ladder.hpp"
#include "prop/frame.hpp"
#include "wiring/pixel_map.hpp"

namespace panewalk::power {

/// A pair that brings power into the chain.
struct Leg {
  Feed::Kind kind = Feed::Kind::kLeadIn;
  std::string at;        ///< "lead-in", "tie-back", or the joint or station as written
  std::size_t node = 0;  ///< where it meets the chain: the pixel's index − 1
  Wire wire;
  Millimetres length;  ///< one way; 0 where the supply sits at pixel 1
  Ohms ohms;           ///< of the leg itself, both conductors
  bool operator==(const Leg&) const = default;
};

/// The wires of one prop as resistors. One that was never built has no pixels.
///
/// Pixels follow each other by the way along the bar, or by the wire of the hop or jump and one
/// contact resistance. The lead-in meets pixel 1: at the supply itself unless the file gives a
/// lead. The tie-back starts where the lead ends. An injection has its own pair from the supply.
struct Network {
  Ladder ladder;
  std::vector<Leg> legs;     ///< as the file lists them
  std::optional<Lead> lead;  ///< carries the lead-in and the tie-back
  Ohms lead_ohms;
  /// Nulls and spares, by node: they draw their idle current where their neighbour sits.
  std::vector<int> extra_chips;
  [[nodiscard]] std::size_t pixels() const { return ladder.nodes(); }
};

/// Pointers start at "/power"; an injection at no station of this prop is a problem. `nulls` sit
/// before pixel 1.
base::Result<Network> build(const prop::Frame& frame, const wiring::PixelMap& map,
                            const PowerDescription& power, int nulls);

/// The pixel at a joint or station, by name; nothing where there is none.
std::optional<base::PixelIndex> pixel_at(const prop::Frame& frame, const wiring::PixelMap& map,
                                         const std::string& name);

/// The wire from one pixel to another behind the bars.
Millimetres way_between(const prop::Frame& frame, const wiring::PixelMap& map,
                        base::PixelIndex from, base::PixelIndex to);

}  // namespace panewalk::power
