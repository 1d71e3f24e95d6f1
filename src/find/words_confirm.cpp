#include <algorithm>

#include "find/words_fault.hpp"
#include "find/words_places.hpp"
#include "find/words_steps.hpp"

namespace panewalk::find {

using practice::Fault;
using practice::FaultKind;
using practice::Subject;

namespace {

std::string pixel(std::int32_t index) { return "pixel " + std::to_string(index); }

std::string to_the_end(const Subject& subject, std::int32_t past) {
  const std::string last = pixel(pixel_count(subject));
  if (past < 1) return "Run the pattern chase: the light walks from pixel 1 to " + last + '.';
  const std::string on = past < pixel_count(subject) ? "on past " + pixel(past) + ", " : "";
  return "Run the pattern chase: the light walks " + on + "to " + last + ", the last.";
}

}  // namespace

std::string confirmed_by(const Subject& subject, const Fault& fault) {
  switch (fault.kind) {
    case FaultKind::kNone: return "Go on with the bench check or the yard walk.";
    case FaultKind::kDataOpen:
    case FaultKind::kPowerOpen:
    case FaultKind::kPixelStuck:
    case FaultKind::kCountShort: return to_the_end(subject, pixel_of_fault(subject, fault));
    case FaultKind::kUniverseMissing:
      return to_the_end(subject, pixels_in_universe(subject, fault.value).first - 1);
    case FaultKind::kUniverseShifted: return to_the_end(subject, 0);
    case FaultKind::kPixelDark:
    case FaultKind::kPixelColour:
      return "Run the pattern colour-roll: " + pixel(fault.value) +
             " has each colour, as its neighbours have.";
    case FaultKind::kColourOrder:
      return "Run the pattern colour-roll: the whole prop is red, then green, then blue, then "
             "white.";
    case FaultKind::kRunReversed:
      return "Run the pattern slope: run " + std::to_string(fault.value) +
             " is darkest where the drawing lets the data in.";
    case FaultKind::kRunsSwapped:
      return "Run the pattern run-colours: the colour changes just where the drawing starts the "
             "next run.";
    case FaultKind::kPixelSkipped:
    case FaultKind::kPixelExtra:
    case FaultKind::kJointLate:
      return "Run the pattern chase: one pixel walks along the wire as drawn, skips no place and "
             "ends at " +
             pixel_text(subject, pixel_count(subject)) + '.';
    case FaultKind::kMirrored:
    case FaultKind::kTurned:
      return "Run the pattern corner-check and stand at the FRONT: red is top left, green top "
             "right, blue bottom right, white bottom left.";
    case FaultKind::kNulls:
    case FaultKind::kStartChannel:
      return "Run the pattern chase: it begins at " + pixel_text(subject, 1) +
             ", one white pixel at a time, and ends at " +
             pixel_text(subject, pixel_count(subject)) + '.';
    case FaultKind::kPacking:
      return "Run the patterns seams and colour-roll: both pixels of each seam are lit, and the "
             "whole prop has one colour at a time.";
    case FaultKind::kLeadsExchanged: return "Light each prop alone: that one lights, and no other.";
    case FaultKind::kNoResponse:
      return "Run the pattern chase: it begins at " + pixel_text(subject, 1) + '.';
    case FaultKind::kSag:
      return "Run the pattern load-step: white stays white to the far end at every step.";
  }
  return "";
}

}  // namespace panewalk::find
