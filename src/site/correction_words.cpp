#include "site/correction_words.hpp"

#include "site/told.hpp"

namespace panewalk::site {
namespace {

using practice::Fault;
using practice::FaultKind;

std::string number(std::int64_t value) { return std::to_string(value); }

/// "pixel 17 at A1-B1/3"
std::string pixel_at(const engine::PlannedProp& prop, std::int32_t pixel) {
  const auto index = base::PixelIndex::of(static_cast<std::size_t>(pixel));
  return "pixel " + number(pixel) + " at " + prop.frame[prop.map.station_of(index)].name;
}

std::string station_of_pixel(const engine::PlannedProp& prop, std::int32_t pixel) {
  const auto index = base::PixelIndex::of(static_cast<std::size_t>(pixel));
  return prop.frame[prop.map.station_of(index)].name;
}

std::string joint_name(const engine::PlannedProp& prop, const Fault& fault) {
  return prop.frame[base::StationIndex::of(static_cast<std::size_t>(fault.value))].name;
}

std::string null_pixels(std::int64_t count) {
  if (count == 0) return "no null pixels";
  return number(count) + (count == 1 ? " null pixel" : " null pixels");
}

/// The end of a sentence.
std::string more_to_drive(const engine::Plan& before, const engine::Plan& now, std::size_t prop) {
  const std::size_t was = before.patch.props[prop].chips();
  const std::size_t is = now.patch.props[prop].chips();
  if (is <= was) return ".";
  return "; the controller has " + std::to_string(is - was) +
         (is - was == 1 ? " pixel more to drive." : " pixels more to drive.");
}

}  // namespace

std::optional<std::string> no_file_mends(const Fault& fault) {
  switch (fault.kind) {
    case FaultKind::kNone: return "nothing is wrong with the description";
    case FaultKind::kDataOpen: return "no description mends a break in the data";
    case FaultKind::kPowerOpen: return "no description mends a break in the power";
    case FaultKind::kPixelColour:
    case FaultKind::kPixelStuck: return "no description mends a pixel";
    case FaultKind::kUniverseMissing: return "no description makes a universe arrive";
    case FaultKind::kCountShort: return "the description has all the pixels already";
    case FaultKind::kNoResponse: return "no description makes a prop answer";
    case FaultKind::kSag: return "no description feeds the far end";
    default: return std::nullopt;
  }
}

std::string mended_otherwise(const engine::Plan& plan, std::size_t prop, const Fault& fault) {
  const engine::PlannedProp& of = *plan.props[prop];
  const patch::PropPatch& patch = plan.patch.props[prop];
  switch (fault.kind) {
    case FaultKind::kNone: return "leave the files as they are";
    case FaultKind::kDataOpen:
      return "mend the wire after " + pixel_at(of, fault.value) +
             ", or exchange that pixel or the next";
    case FaultKind::kPowerOpen: return "mend the power wires after " + pixel_at(of, fault.value);
    case FaultKind::kPixelDark:
    case FaultKind::kPixelColour:
    case FaultKind::kPixelStuck: return "exchange " + pixel_at(of, fault.value);
    case FaultKind::kColourOrder:
      return "set the order of the colours at the controller to that of the description";
    case FaultKind::kRunReversed:
      return "wire run " + number(fault.value) + " from its other end, as drawn";
    case FaultKind::kRunsSwapped:
      return "wire runs " + number(fault.value) + " and " + number(fault.second) +
             " in the order drawn";
    case FaultKind::kPixelSkipped: return "put in " + pixel_at(of, fault.value);
    case FaultKind::kPixelExtra: return "take out the pixel after " + pixel_at(of, fault.value);
    case FaultKind::kJointLate:
      return "wire the pixel of " + joint_name(of, fault) + " where the data first comes to it";
    case FaultKind::kMirrored: return "wire it as the back drawing shows";
    case FaultKind::kTurned: return "hang it the other way up";
    case FaultKind::kNulls:
      return "wire " + null_pixels(of.placement.nulls) +
             " before pixel 1, or set as many at the controller";
    case FaultKind::kStartChannel:
      return "set the start channel at the controller to " + number(of.placement.channel);
    case FaultKind::kPacking:
      return "set the controller to " + number(patch.usable()) + " channels a universe";
    case FaultKind::kUniverseMissing:
      return "look at the controller and the network for universe " + number(fault.value);
    case FaultKind::kUniverseShifted:
      return "set the first universe at the controller to " + number(of.placement.universe);
    case FaultKind::kCountShort:
      return "set the count at the controller to " + std::to_string(patch.chips());
    case FaultKind::kLeadsExchanged:
      return "exchange the leads of \"" + of.name + "\" and \"" +
             plan.props[static_cast<std::size_t>(fault.value)]->name + '"';
    case FaultKind::kNoResponse: return "look at its power, its fuse, its lead and the network";
    case FaultKind::kSag:
      return "feed it at its far end too, or lower its \"level\" in the site file";
  }
  return "";
}

bool mended_at_the_controller(FaultKind kind) {
  switch (kind) {
    case FaultKind::kColourOrder:
    case FaultKind::kNulls:
    case FaultKind::kStartChannel:
    case FaultKind::kPacking:
    case FaultKind::kUniverseShifted:
    case FaultKind::kLeadsExchanged: return true;
    default: return false;
  }
}

std::string said_now(const engine::Plan& before, const engine::Plan& now, std::size_t prop,
                     const Fault& fault) {
  const engine::PlannedProp& was = *before.props[prop];
  const engine::PlannedProp& is = *now.props[prop];
  switch (fault.kind) {
    case FaultKind::kColourOrder:
      return "The colours of its pixels come in the order " +
             value_text(subject_of(before, prop), fault) + " now.";
    case FaultKind::kRunReversed:
      return "Run " + number(fault.value) + " begins at its other end now.";
    case FaultKind::kRunsSwapped:
      return "Runs " + number(fault.value) + " and " + number(fault.second) +
             " are in exchanged order now.";
    case FaultKind::kPixelSkipped:
      return station_of_pixel(was, fault.value) + " is listed as empty now; the data passes it.";
    case FaultKind::kPixelDark:
      return station_of_pixel(was, fault.value) +
             " is listed as empty now; cut its pixel out and join the data past it.";
    case FaultKind::kPixelExtra:
      return "There is a spare pixel after " + pixel_at(was, fault.value) + " now" +
             more_to_drive(before, now, prop);
    case FaultKind::kJointLate: {
      const auto station = base::StationIndex::of(static_cast<std::size_t>(fault.value));
      return "Run " + std::to_string(is.map.run_of(*is.map.pixel_of(station))) + " takes " +
             joint_name(was, fault) + " now, when the data meets it again.";
    }
    case FaultKind::kMirrored: return "Left and right are exchanged in its wiring now.";
    case FaultKind::kTurned:
      return is.turned ? "It hangs turned now, upside down." : "It hangs upright now.";
    case FaultKind::kNulls:
      return "It has " + null_pixels(is.placement.nulls) + " before pixel 1 now" +
             more_to_drive(before, now, prop);
    case FaultKind::kStartChannel:
      return "It begins at channel " + number(is.placement.channel) + " now.";
    case FaultKind::kPacking: {
      const auto& controller = now.controllers[now.patch.props[prop].controller()];
      return "Universes of controller \"" + controller.name + "\" hold " +
             number(controller.channels_per_universe) + " channels now.";
    }
    case FaultKind::kUniverseShifted:
      return "It begins in universe " + number(is.placement.universe) + " now.";
    case FaultKind::kLeadsExchanged:
      return '"' + was.name + "\" and \"" +
             before.props[static_cast<std::size_t>(fault.value)]->name +
             "\" have exchanged their places at the controllers now.";
    default: return "";
  }
}

}  // namespace panewalk::site
