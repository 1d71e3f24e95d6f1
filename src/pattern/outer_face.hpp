#pragma once

#include <vector>

#include "prop/frame.hpp"

namespace panewalk::pattern {

/// The bars of a section that the outside touches, in order of the frame: a walk round the outer
/// face of each connected part that lies in no other. Bars are taken as straight. A bar that ends
/// free counts as outer when it sticks out.
std::vector<base::BarIndex> outer_bars(const prop::Frame& frame, const prop::Section& section);

}  // namespace panewalk::pattern
