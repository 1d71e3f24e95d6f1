#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"

/// How regions are written, whatever the prop.
namespace panewalk::pattern {

enum class Kind {
  kAll,
  kOutline,
  kInside,
  kCorners,
  kCorner,
  kCrossings,
  kCentre,
  kCross,
  kPane,
  kUpright,
  kLevel,
  kBar,
  kSection,
  kRun,
  kSplice,
  kSeam,
  kPixel,
  kPixels,
  kUniverse,
};

enum class Corner { kTopLeft, kTopRight, kBottomRight, kBottomLeft };
inline constexpr Corner kAllCorners[] = {Corner::kTopLeft, Corner::kTopRight, Corner::kBottomRight,
                                         Corner::kBottomLeft};
/// "top-left" …
std::string_view to_text(Corner corner);

/// What the words of a region say. The views look into the words.
struct Words {
  Kind kind = Kind::kAll;
  std::string_view word;     ///< "pane", "outline"
  std::string_view section;  ///< before the last dot, for places of a section; may be empty
  std::string_view which;    ///< the rest of it: "A1", "top-left", "17"
  Corner corner = Corner::kTopLeft;
  std::uint32_t from = 0, to = 0;  ///< kPixel, kPixels
};

base::Result<Words, base::Problem> read_words(std::string_view words);

/// Families by the word of one member; "runs" goes through what "run" names.
struct FamilyWord {
  std::string_view family, member;
  Kind kind;
};
/// Nothing for a word that is no family.
const FamilyWord* family_word(std::string_view words);

}  // namespace panewalk::pattern
