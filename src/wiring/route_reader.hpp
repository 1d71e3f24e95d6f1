#pragma once

#include <string>
#include <vector>

#include "prop/frame.hpp"

namespace panewalk::wiring {

/// One place of a run as the builder wrote it: a joint, perhaps in parentheses, or a station inside
/// a bar (first or last of a run only).
struct RouteStop {
  std::string name;
  base::StationIndex station;
  std::optional<base::JointIndex> joint;
  bool passed_by = false;  ///< in parentheses
  int at = 0;              ///< characters into the run's text
};

/// A station that a run comes through, in order. `take`: its pixel belongs to this pass, unless an
/// earlier one has it.
struct Visit {
  base::StationIndex station;
  bool take = true;
  int at = 0;  ///< the stop, in characters into the run's text, on the way to which it lies
};

/// The stations that one run of the route comes through. Problems have the pointer `where`.
std::vector<Visit> walk_run(const prop::Frame& frame, const std::string& text,
                            const std::string& where, const std::vector<bool>& taken,
                            base::Problems& problems);

}  // namespace panewalk::wiring
