#pragma once

#include <string>

#include "engine/plan.hpp"

namespace panewalk::site {

/// What a page needs to draw one prop, on one line: "box_mm" of all stations, "bars" from joint to
/// joint, "joints", "pixels" in data order with their places in words from the front and from the
/// back, "empty" places, "runs", and "splices" with the way of their wire. Millimetres from the
/// prop's origin, seen from the front, y down, as drawn upright; "hung" says whether it hangs
/// turned.
std::string drawing_as_json(const engine::Plan& plan, std::size_t prop);

}  // namespace panewalk::site
