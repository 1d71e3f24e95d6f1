#pragma once

#include <memory>
#include <vector>

#include "engine/look.hpp"

namespace panewalk::engine {

/// What is sent of each picture of such a look once it stands still: by slot, before the order of
/// the channels, after the cap and both limiters. Empty where the look has no pictures. Nothing is
/// sent; the look must be of this plan.
std::vector<std::vector<light::Colour>> settled(const std::shared_ptr<const Plan>& plan,
                                                const Look& look);

}  // namespace panewalk::engine
