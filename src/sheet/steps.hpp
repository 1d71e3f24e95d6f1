#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/plan.hpp"
#include "sheet/text.hpp"

namespace panewalk::sheet {

/// Pixels of one run that follow each other along the bars in one direction.
struct Stretch {
  int run = 0;  ///< from 1
  base::PixelIndex first, last;
  std::string way;  ///< as it goes seen from the back: "up", "to the left", "clockwise"; "" for one
};
/// All pixels once, in data order.
std::vector<Stretch> stretches(const engine::PlannedProp& prop);

/// One line of the wiring, as it is done from the BACK.
struct Step {
  enum class Kind { kMakeReady, kPixels, kSplice, kPower, kTest };
  Kind kind = Kind::kPixels;
  std::string title;  ///< "Pixels 1 to 13"
  std::string text;   ///< places seen from the back
  bool bold = false;  ///< begins or ends a run
};

struct Chain {
  /// The prop that hangs on this one's lead-out, on the same output of the controller.
  std::optional<std::string> before, after;
};
/// Neighbours in the chain of an output.
Chain chain_of(const engine::Plan& plan, std::size_t prop);

std::vector<Step> wiring_steps(const engine::Plan& plan, std::size_t prop, Units units);

/// What the lead-in's label says, at both ends.
std::string lead_label(const engine::Plan& plan, std::size_t prop);

}  // namespace panewalk::sheet
