#include "find/words_tests.hpp"

#include "find/words.hpp"
#include "find/words_places.hpp"

namespace panewalk::find {

using practice::Fault;
using practice::FaultKind;
using practice::Subject;

namespace {

/// "pixel 17", or "that pixel" where it can be several.
std::string that_pixel(const std::optional<Fault>& one, std::int32_t after = 0) {
  if (one) return "pixel " + number(one->value + after);
  return after == 0 ? "that pixel" : "the next";
}

}  // namespace

std::string test_for(const Subject& subject, FaultKind kind, const std::optional<Fault>& one) {
  switch (kind) {
    case FaultKind::kNone: return "search again; if all is as drawn then too, it is this.";
    case FaultKind::kDataOpen:
      return "with the power off clip a spare pixel to the data OUT of " + that_pixel(one) +
             ", then to the data IN of " + that_pixel(one, 1) +
             ", and light it each time: where it first stays dark, the break lies before it.";
    case FaultKind::kPowerOpen:
      return "measure volts from positive to ground at " + that_pixel(one) + " and at " +
             that_pixel(one, 1) + ": full here and none there, and it is this.";
    case FaultKind::kPixelDark:
    case FaultKind::kPixelColour:
      return "put a spare pixel there: if it lights right, it was this.";
    case FaultKind::kPixelStuck:
      return "power off and on: if " + that_pixel(one) +
             " comes back in its colour at once, with no data sent, it is this.";
    case FaultKind::kColourOrder:
      return "light all in red, then all in green: if single pixels stay single and only the hue "
             "is wrong, it is this.";
    case FaultKind::kRunReversed:
      return "run the pattern slope: it rises the wrong way in that run only.";
    case FaultKind::kRunsSwapped:
      return "run the pattern run-colours: those two runs have each other's colour.";
    case FaultKind::kPixelSkipped: return "look for a hole without a pixel there.";
    case FaultKind::kPixelExtra:
      return "look behind the frame after " + that_pixel(one) + " for a pixel in no hole.";
    case FaultKind::kJointLate:
      return "follow the wire at that joint: on which pass does it take the joint's pixel?";
    case FaultKind::kMirrored:
    case FaultKind::kTurned:
      return "run the pattern corner-check and stand at the FRONT: red must be top left, green top "
             "right.";
    case FaultKind::kNulls:
      return "count the pixels in the lead before pixel 1, and read the null pixels set at the "
             "controller; described are " +
             number(subject.placement.nulls) + '.';
    case FaultKind::kStartChannel:
      return "read the start channel set at the controller; described is " +
             number(subject.placement.channel) + '.';
    case FaultKind::kPacking:
      return "read at the controller how many channels of a universe it uses; described are " +
             number(subject.patch->usable()) + '.';
    case FaultKind::kUniverseMissing:
      return "see at the controller whether the packet counter of that universe rises.";
    case FaultKind::kUniverseShifted:
      return "read the first universe set at the controller; described is " +
             number(subject.placement.universe) + '.';
    case FaultKind::kCountShort:
      return "read the count of pixels set at the controller; described are " +
             number(static_cast<std::int64_t>(subject.patch->chips())) +
             ", nulls and spares counted.";
    case FaultKind::kLeadsExchanged:
      return "light this prop alone and look at the others; read the labels at both ends of the "
             "leads.";
    case FaultKind::kNoResponse:
      return "run the controller's own test pattern on this output: dark means supply, fuse or "
             "lead; lit means network or settings.";
    case FaultKind::kSag:
      return "with all fuses in, light full white and measure the volts at the lead-in and at the "
             "far end; compare them with what panewalk power computes.";
  }
  return "";
}

}  // namespace panewalk::find
