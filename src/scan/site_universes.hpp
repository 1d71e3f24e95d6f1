#pragma once

#include <cstddef>
#include <cstdint>
#include <set>
#include <vector>

#include "engine/plan.hpp"

namespace panewalk::scan {

/// The universes, or Port-Addresses, that a site's props take of one controller.
struct SiteUniverses {
  std::size_t controller = 0;  ///< index into the plan's
  std::set<std::uint16_t> numbers;
};

/// One for each controller, in the plan's order.
std::vector<SiteUniverses> universes_of(const engine::Plan& plan);

}  // namespace panewalk::scan
