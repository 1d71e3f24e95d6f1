#pragma once

#include <string>

#include "engine/plan.hpp"
#include "prop/description.hpp"
#include "prop/place_words.hpp"
#include "sheet/text.hpp"

namespace panewalk::sheet {

struct DrawingOptions {
  Units units = Units::kMillimetres;
  prop::PipeDescription pipe;  ///< for its width
};

/// One prop as a picture of its own, black on white, at most 184 × 232 mm: FRONT or BACK in words,
/// to a round scale, as built (a prop that hangs turned is drawn upright). Bars as pipe,
/// pixels with their numbers, runs by their strokes, hops and jumps with the wire along the bars,
/// the tie-back. No text is mirrored. The `prop` must have stations.
std::string drawing_svg(const engine::PlannedProp& prop, prop::Side side,
                        const DrawingOptions& options);

}  // namespace panewalk::sheet
