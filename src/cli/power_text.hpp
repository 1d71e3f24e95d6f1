#pragma once

#include <string>

#include "engine/plan.hpp"
#include "power/report.hpp"

namespace panewalk::cli {

/// What `panewalk power` shows: one prop, everything about its power, and the load that was asked.
struct PowerShown {
  const engine::Plan* plan = nullptr;
  std::size_t prop = 0;
  power::Study study;
  power::Report report;
  std::string load;                         ///< "full white", "chase at 30 %"
  std::optional<power::Solution> solution;  ///< of that load; nothing: the chain collapses
};

/// A prop with all that its power depends on; the plan must outlive it.
power::Study study_of(const engine::Plan& plan, std::size_t prop);

/// For the bench. Lines of at most `columns` where words can be broken.
std::string power_as_text(const PowerShown& shown, int columns);
/// With figures to the millionth.
std::string power_as_json(const PowerShown& shown);

}  // namespace panewalk::cli
