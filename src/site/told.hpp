#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "engine/plan.hpp"
#include "practice/fault.hpp"

namespace panewalk::site {

/// A channel as a controller finds it: from 0 in its universe.
struct ToldBy {
  std::int32_t universe = 0, channel = 0;
  bool operator==(const ToldBy&) const = default;
};

/// By which channel each station is told its red, green, blue and white; by StationIndex. This is
/// what a description and what was built must agree in.
using Told = std::vector<std::array<std::optional<ToldBy>, 4>>;
Told told(const practice::AsBuilt& built);

/// One prop of a plan as faults see it; points into the plan.
practice::Subject subject_of(const engine::Plan& plan, std::size_t prop);

}  // namespace panewalk::site
