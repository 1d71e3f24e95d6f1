#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "prop/frame.hpp"

/// Runs of a route that are to read otherwise than they do, in the builder's own words as far as
/// they go.
namespace panewalk::site {

using base::StationIndex;

struct WantedRun {
  std::string text;                 ///< the way that it goes; its parentheses may be wrong
  std::vector<StationIndex> takes;  ///< what it is to take, in the order of the data
};

/// The texts with the parentheses that make each run take just that; a run that takes nothing is
/// left out. None where a way does not come through its stations in this order.
std::optional<std::vector<std::string>> spelt(const prop::Frame& frame,
                                              const std::vector<WantedRun>& runs);

/// The same way from its end to its start.
std::string turned_round(const std::string& run);

/// The same way through other places; none where a place has no other.
std::optional<std::string> moved(
    const prop::Frame& frame, const std::string& run,
    const std::function<std::optional<StationIndex>(StationIndex)>& to);

}  // namespace panewalk::site
