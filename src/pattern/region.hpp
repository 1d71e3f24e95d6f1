#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/quantity.hpp"
#include "base/result.hpp"
#include "patch/patch.hpp"
#include "prop/frame.hpp"
#include "wiring/pixel_map.hpp"

namespace panewalk::pattern {

using base::PixelIndex;

/// One prop as patterns see it. The three outlive whatever looks through it.
struct Surface {
  const prop::Frame* frame = nullptr;
  const wiring::PixelMap* map = nullptr;
  const patch::PropPatch* patch = nullptr;
  /// Hangs upside down: corners are those that are seen, so "top-left" is what was built bottom
  /// right.
  bool turned = false;
};

/// A named set of pixels in data order.
struct Region {
  std::string name;  ///< "pane B2", "run 2"; with the section where there are several: "pane W.A1"
  std::vector<PixelIndex> pixels;
};

/// One region, by the words of the pattern language. With several sections a place has its section
/// in front: "pane W.A1", "corner W.top-left", "W.outline"; without it, "corners", "outline" and
/// their like are those of every section. An empty region is not an error: missing() says why. A
/// name that no prop could have ("corner middle"), or that this one lacks ("run 9", "bar A1-Z9"),
/// is a problem that names what there is.
base::Result<Region> region(const Surface& surface, std::string_view words);

/// "panes", "runs", "splices", "seams", "bars", "uprights", "levels", "sections", "universes",
/// "pixels".
bool is_family(std::string_view words);
/// Members in their natural order, those without a pixel included; none where the prop has none.
/// The one section of a prop that does not name it is called "all". Precondition: is_family(words).
std::vector<Region> family(const Surface& surface, std::string_view words);

/// What of a region or family this prop does not have, in words for the builder: "no seam: all 63
/// pixels are in universe 1", "no corner top-left: A1 is an empty place". Nothing where it lacks
/// nothing, or where the words are no region of this prop (region() says why).
std::vector<std::string> missing(const Surface& surface, std::string_view words);

/// Every form a region's name can take, for hints and help.
const std::vector<std::string>& region_forms();

/// Whether the words have the form of a region or family, whatever the prop.
bool well_formed(std::string_view words);

}  // namespace panewalk::pattern
