#pragma once

#include <optional>
#include <vector>

#include "power/report.hpp"

/// What a change to a prop's power would do, and what a reading says. Parts of power::report.
namespace panewalk::power {

/// A tie-back, one more injection at the lowest pixel (where the chain collapses: at its middle),
/// the next thicker wire, the next thicker lead: those that this prop does not have yet. New legs
/// are in the prop's wire and as long as the way along the bars from pixel 1, and the lead.
std::vector<Alternative> alternatives(const Study& study, const Network& network,
                                      const std::optional<Solution>& full);

/// 22 to 12 AWG, or 0.5 to 4 mm² where the prop's wire is given so.
std::vector<WireChoice> wire_choices(const Study& study, Volts enough);

/// Nothing where the two ends were not measured.
std::optional<Comparison> compare(const Study& study, const Solution& full);

}  // namespace panewalk::power
