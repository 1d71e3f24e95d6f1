#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/instant.hpp"
#include "light/colour.hpp"

/// What a pattern file says: light as a function of time over regions. Checked for form; whether a
/// region exists depends on the prop.
namespace panewalk::pattern {

/// A colour by its name; white lights the white chip alone where a pixel has one.
enum class ColourName {
  kBlack,
  kRed,
  kGreen,
  kBlue,
  kWhite,
  kYellow,
  kCyan,
  kMagenta,
  kOrange,
};

/// What the colours of a list are dealt out to, in turn and round again.
enum class By {
  kMember,  ///< each member of a family its own (a region is one member)
  kPixel,   ///< pixel by pixel along the data order inside each member
  kTen,     ///< every ten pixels along the data order of the prop: 1-10, 11-20 …
};

/// Light on a region or on all members of a family at once.
struct Paint {
  std::string target;  ///< a region ("corner top-left") or a family ("runs")
  std::vector<ColourName> colours = {ColourName::kWhite};
  By by = By::kMember;
  light::Level level;
  int every = 1;  ///< only pixels whose index is a multiple of this
  bool operator==(const Paint&) const = default;
};

/// {"light": [paint …]}: all of them at once, later ones on top.
struct LightStep {
  std::vector<Paint> paints;
  bool operator==(const LightStep&) const = default;
};
/// {"one_by_one": family}: its members in turn, the rest dark.
struct OneByOneStep {
  Paint paint;
  bool operator==(const OneByOneStep&) const = default;
};
/// {"move": region}: one pixel along the data order, with a tail that fades behind it.
struct MoveStep {
  Paint paint;
  int tail = 0;               ///< pixels, 0 … 20
  int pixels_per_second = 5;  ///< 1 … 10
  bool operator==(const MoveStep&) const = default;
};
/// {"ramp": region or family}: brightness from the first to the last pixel of each member.
struct RampStep {
  Paint paint;
  light::Level from = light::Level::of(0.04), to;
  bool operator==(const RampStep&) const = default;
};
/// {"pulse": region}: slow rise and fall, one a period.
struct PulseStep {
  Paint paint;
  base::Duration period = std::chrono::seconds{3};  ///< at least 2 s
  bool operator==(const PulseStep&) const = default;
};

struct Step {
  std::variant<LightStep, OneByOneStep, MoveStep, RampStep, PulseStep> action;
  /// How long the picture (or each member) stays, at least 1 s; a move has its own pace, a pulse is
  /// never cut (its hold is rounded up to whole periods). Nothing: until the builder confirms.
  std::optional<base::Duration> hold = std::chrono::seconds{2};
  std::string say;  ///< what this step shows, for the progress line; may be empty
  bool operator==(const Step&) const = default;
};

struct PatternDescription {
  std::string name;
  std::string purpose;   ///< one line: what it is for
  std::string look_for;  ///< what the builder should see
  std::vector<std::string> catches;
  std::vector<Step> steps;
  bool operator==(const PatternDescription&) const = default;
};

}  // namespace panewalk::pattern
