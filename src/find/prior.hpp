#pragma once

#include <vector>

#include "practice/fault.hpp"

namespace panewalk::find {

enum class Place {
  kBench,  ///< a new build, first powered up
  kYard,   ///< it had worked before
};
/// "bench", "yard".
std::string_view to_text(Place place);

/// What is known before anything was asked.
struct Experience {
  Place place = Place::kBench;
  /// Faults that were found and mended before, on any prop of the site.
  std::vector<practice::FaultKind> mended;
};

/// How likely each of the faults is, adding up to 1. Weights by kind and place are estimates (no
/// source): bench and yard columns by the ways in which props fail. Within a kind a place made by
/// hand is likelier than a factory joint: 80 % of the breaks lie at splices (estimate).
std::vector<double> prior_of(const practice::Subject& subject,
                             const std::vector<practice::Fault>& faults, const Experience& known);

}  // namespace panewalk::find
