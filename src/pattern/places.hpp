#pragma once

#include <optional>
#include <vector>

#include "pattern/words.hpp"
#include "prop/frame.hpp"

/// Which stations of one section a word means. Empty places are still among them.
namespace panewalk::pattern {

using base::BarIndex;
using base::Millimetres;
using base::StationIndex;
using Stations = std::vector<StationIndex>;

/// All of the section, in order of the frame.
Stations stations_of(const prop::Section& section);
/// With the joints at its ends.
Stations bar(const prop::Frame& frame, BarIndex index);
/// Windows only; `upright` and `level` count from 0, edges included.
Stations upright(const prop::Frame& frame, const prop::Section& section, std::size_t upright);
Stations level(const prop::Frame& frame, const prop::Section& section, std::size_t level);
/// Around the opening below and right of a joint; a window only.
Stations pane(const prop::Frame& frame, const prop::Section& section, std::size_t upright,
              std::size_t level);

/// A window's edges; of bars, those on the outer face; of every other shape all.
Stations outline(const prop::Frame& frame, const prop::Section& section);
/// What is not outline.
Stations inside(const prop::Frame& frame, const prop::Section& section);
/// Joints where three or more bars end: of a window all but its corners.
Stations crossings(const prop::Frame& frame, const prop::Section& section);
/// Of a window the joint, else the station nearest that corner of the section's bounding box (the
/// first in order of the frame where several are).
StationIndex corner(const prop::Frame& frame, const prop::Section& section, Corner which);

/// The station nearest the middle of the section's bounding box.
struct Middle {
  StationIndex station;
  Millimetres away;
  Millimetres pitch;  ///< the largest gap between neighbouring stations of the section
  /// As near as a station on a bar through the middle can be.
  [[nodiscard]] bool is_centre() const { return away.value() <= pitch.value() + 1e-6; }
};
/// Of a window only stations inside its outline count: nothing where it has none.
std::optional<Middle> middle(const prop::Frame& frame, const prop::Section& section);
/// The whole upright and level through a window's station; else the bars that meet there.
Stations cross(const prop::Frame& frame, const prop::Section& section, StationIndex through);

}  // namespace panewalk::pattern
