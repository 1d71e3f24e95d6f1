#pragma once

#include <string>
#include <vector>

#include "prop/frame.hpp"

namespace panewalk::wiring {

/// Runs that read_route reads back as exactly this order of stations: each as long as it can be,
/// over hops too, with the joints in between left out where they lie in line and are taken.
/// `order` has every station with a pixel once.
std::vector<std::string> write_route(const prop::Frame& frame,
                                     const std::vector<base::StationIndex>& order);

}  // namespace panewalk::wiring
