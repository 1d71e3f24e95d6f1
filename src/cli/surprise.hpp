#pragma once

#include <memory>
#include <optional>
#include <random>

#include "engine/plan.hpp"
#include "practice/fault.hpp"

namespace panewalk::cli {

using Dice = std::mt19937_64;

/// One more fault for a prop that already has `faults`, such that some light that may be sent to it
/// looks otherwise than without. Kinds are as likely as each other. Nothing where no fault shows.
std::optional<practice::Fault> surprise(const std::shared_ptr<const engine::Plan>& plan,
                                        std::size_t prop,
                                        const std::vector<practice::Fault>& faults, Dice& dice);

}  // namespace panewalk::cli
