#pragma once

#include <cstddef>
#include <string>

#include "prop/frame.hpp"

namespace panewalk::prop {

/// Where the builder stands. From the back left and right are exchanged, and a clock runs the other
/// way round.
enum class Side { kFront, kBack };

/// A station's place for a person: "left stile, fourth below the top corner", "where the mullion
/// crosses the crossbar", "ring, second after 4 o'clock". Counted from the nearer end, which itself
/// is not counted; empty places count. With several sections the section stands in front: "W: top
/// left corner". No two stations of a frame have the same words on one side.
std::string place_in_words(const Frame& frame, StationIndex station, Side side);

/// "first" … "twelfth", then "13th", "21st". `number` is at least 1.
std::string ordinal(std::size_t number);

}  // namespace panewalk::prop
