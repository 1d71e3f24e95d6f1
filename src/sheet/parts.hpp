#pragma once

#include <string>
#include <vector>

#include "engine/plan.hpp"
#include "power/report.hpp"
#include "prop/description.hpp"
#include "sheet/cut_list.hpp"
#include "sheet/text.hpp"
#include "sheet/wires.hpp"

namespace panewalk::sheet {

struct Part {
  std::string what, how_many, note;
};

struct PartsAsked {
  const engine::PlannedProp* prop = nullptr;
  const CutList* cuts = nullptr;
  prop::PipeDescription pipe;
  const power::Report* report = nullptr;
  Units units = Units::kMillimetres;
};

/// Spare pixels to buy: 5 %, at least 3 (common practice, no source).
std::size_t spare_pixels(std::size_t in_chain);

/// What is to be on the bench. Pixels, pipe, fittings, wire by size, fuses, small parts; spares as
/// is common practice, no source.
std::vector<Part> parts(const PartsAsked& asked);

}  // namespace panewalk::sheet
