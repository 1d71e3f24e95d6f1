#pragma once

#include <string>
#include <vector>

#include "pattern/places.hpp"
#include "pattern/region.hpp"

namespace panewalk::pattern {

/// The pixels at these stations, appended as they come.
void add(const Surface& surface, const Stations& stations, std::vector<PixelIndex>& pixels);
/// Each once.
void sort_into_data_order(std::vector<PixelIndex>& pixels);
/// What stands before a place of this section: "W." where there are several, else nothing.
std::string prefix(const Surface& surface, const prop::Section& section);
/// The members of the family whose members are of this kind, empty ones included.
std::vector<Region> members(const Surface& surface, Kind kind);

}  // namespace panewalk::pattern
