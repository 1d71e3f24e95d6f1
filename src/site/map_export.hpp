#pragma once

#include <string>

#include "engine/plan.hpp"

namespace panewalk::site {

/// The map of one prop for other tools and for people; the fields are those of `map --as json`:
/// index, station, x_mm, y_mm, run, reached_by, controller, universe, channel. Positions are from
/// the prop's origin, seen from the front, y down.
std::string map_as_json(const engine::Plan& plan, std::size_t prop);
/// RFC 4180, with a header line.
std::string map_as_csv(const engine::Plan& plan, std::size_t prop);
/// Columns for a terminal, with the counts at the end.
std::string map_as_table(const engine::Plan& plan, std::size_t prop);

}  // namespace panewalk::site
