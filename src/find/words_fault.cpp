#include "find/words_fault.hpp"

#include <array>
#include <cmath>
#include <cstdlib>

#include "find/hypotheses.hpp"
#include "find/words.hpp"
#include "find/words_places.hpp"

namespace panewalk::find {

using practice::Fault;
using practice::FaultKind;
using practice::Subject;

namespace {

/// "Pixel 18, the last, gets", "Pixel 18 and all after it get".
std::string the_rest(const Subject& subject, std::int32_t first, const char* one,
                     const char* many) {
  const std::string name = "Pixel " + number(first);
  if (first == pixel_count(subject)) return name + ", the last, " + one;
  return name + " and all after it " + many;
}

const char* name_of(light::Component component) {
  switch (component) {
    case light::Component::kRed: return "red";
    case light::Component::kGreen: return "green";
    case light::Component::kBlue: return "blue";
    case light::Component::kWhite: return "white";
  }
  return "";
}

/// "Red shows as green, green as red, blue as blue."
std::string order_text(const Subject& subject, const light::ColourOrder& wired) {
  constexpr std::array kAll{light::Component::kRed, light::Component::kGreen,
                            light::Component::kBlue, light::Component::kWhite};
  const auto sent = subject.format.order.components();
  const auto taken = wired.components();
  std::string text;
  for (const light::Component component : kAll) {
    for (std::size_t i = 0; i < sent.size(); ++i) {
      if (sent[i] != component) continue;
      const std::string sent_colour{name_of(component)};
      text += (text.empty() ? std::string{"Red shows"} : ", " + sent_colour) + " as ";
      text += name_of(taken[i]);
    }
  }
  return text + '.';
}

std::string letters(const light::ColourOrder& order) {
  std::string all;
  for (const light::Component component : order.components()) {
    all += light::component_letter(component);
  }
  return all;
}

std::string run_ends(const Subject& subject, std::int32_t run) {
  const wiring::Run& of = subject.map->runs()[static_cast<std::size_t>(run) - 1];
  const auto first = static_cast<std::int32_t>(of.first.value());
  const auto last = static_cast<std::int32_t>(of.last.value());
  return "at " + (*subject.frame)[station_at(subject, last)].name + " (" +
         both_sides(subject, station_at(subject, last)) + ") instead of " +
         (*subject.frame)[station_at(subject, first)].name + " (" +
         both_sides(subject, station_at(subject, first)) + ")";
}

std::string run_pixels(const Subject& subject, std::int32_t run) {
  const wiring::Run& of = subject.map->runs()[static_cast<std::size_t>(run) - 1];
  if (of.first == of.last) return "pixel " + number(of.first.value());
  return "pixels " + number(of.first.value()) + " to " + number(of.last.value());
}

std::string joint_text(const Subject& subject, const Fault& fault) {
  const auto joint = StationIndex::of(static_cast<std::size_t>(fault.value));
  const std::string& name = (*subject.frame)[joint].name;
  const std::int32_t pixel = pixel_of_fault(subject, fault);
  std::string text = "The pixel at joint " + name + " (" + both_sides(subject, joint) +
                     ") is drawn as pixel " + number(pixel) +
                     ", but the data comes to it later, when it meets the joint again";
  for (const wiring::Pass& pass : subject.map->passes()) {
    if (pass.joint != joint || static_cast<std::int32_t>(pass.after) < pixel) continue;
    text += ", after pixel " + number(pass.after);
    break;
  }
  return text + ". Each pixel between shows what is meant for the one before it.";
}

std::string start_text(const Subject& subject, const Fault& fault) {
  const std::int64_t meant = subject.placement.channel;
  const std::int64_t real = meant + fault.value;
  const std::string far = counted(std::abs(fault.value), "channel", "channels") +
                          (fault.value > 0 ? " late" : " early");
  std::string text = "The controller starts this prop " + far;
  if (real >= 1 && real <= 512) {
    text += ": at channel " + number(real) + " instead of channel " + number(meant);
  }
  return text + '.';
}

std::string universe_text(const Subject& subject, const Fault& fault) {
  const PixelRange range = pixels_in_universe(subject, fault.value);
  std::string text = "Universe " + number(fault.value) + " does not reach this prop";
  if (range.first == 0) return text + '.';
  if (range.first == range.last) return text + ": pixel " + number(range.first) + " gets nothing.";
  return text + ": pixels " + number(range.first) + " to " + number(range.last) + " get nothing.";
}

std::string shifted_text(const Subject& subject, const Fault& fault) {
  const std::int64_t meant = subject.placement.universe;
  const std::int64_t real = meant + fault.value;
  std::string text = "The controller listens " +
                     counted(std::abs(fault.value), "universe", "universes") +
                     (fault.value > 0 ? " too high" : " too low");
  if (real >= 0) text += ": to universe " + number(real) + " instead of " + number(meant);
  return text + '.';
}

std::string count_text(const Subject& subject, const Fault& fault) {
  const std::int32_t last = pixel_of_fault(subject, fault);
  std::string text = "The controller drives only " + counted(fault.value, "pixel", "pixels") +
                     " of " + number(static_cast<std::int64_t>(subject.patch->chips())) +
                     ", nulls and spares counted.";
  if (last == 0) return text + " No pixel of the prop is among them.";
  return text + " The last that it drives is " + pixel_and_place(subject, last) + '.';
}

std::string none_text(bool bright) {
  return std::string{
             "Nothing is wrong that light shows: what was looked at lights as drawn, in its place, "
             "order and colours. Not tested: what comes and goes with weather or touch"} +
         (bright ? "." : ", and whether the far end keeps its white under full load.");
}

}  // namespace

std::int32_t pixel_of_fault(const Subject& subject, const Fault& fault) {
  if (fault.kind != FaultKind::kJointLate) return locus(subject, fault);
  const auto pixel = subject.map->pixel_of(StationIndex::of(static_cast<std::size_t>(fault.value)));
  return pixel ? static_cast<std::int32_t>(pixel->value()) : 0;
}

std::int32_t last_with_light(const Subject& subject, const Fault& fault) {
  switch (fault.kind) {
    case FaultKind::kDataOpen:
    case FaultKind::kPowerOpen:
    case FaultKind::kPixelStuck:
    case FaultKind::kCountShort: return locus(subject, fault);
    case FaultKind::kNoResponse:
    case FaultKind::kLeadsExchanged: return 0;
    default: return pixel_count(subject);
  }
}

std::string what_is_wrong(const Subject& subject, const Fault& fault, bool bright) {
  const auto pixel = [&] { return pixel_and_place(subject, fault.value); };
  const std::string colour{practice::to_text(fault.colour)};
  switch (fault.kind) {
    case FaultKind::kNone: return none_text(bright);
    case FaultKind::kDataOpen:
      return "The data stops after " + pixel() + ". " +
             the_rest(subject, fault.value + 1, "gets none.", "get none.");
    case FaultKind::kPowerOpen:
      return "The power stops after " + pixel() + ". " +
             the_rest(subject, fault.value + 1, "has none.", "have none.");
    case FaultKind::kPixelDark: return capital(pixel()) + " stays dark, but passes the data on.";
    case FaultKind::kPixelColour:
      return capital(pixel()) + " shows no " + colour + ", but passes the data on.";
    case FaultKind::kPixelStuck:
      return capital(pixel()) + " shows " + colour +
             " whatever it is told, and passes nothing on." +
             (fault.value < pixel_count(subject)
                  ? " " + the_rest(subject, fault.value + 1, "gets none.", "get none.")
                  : "");
    case FaultKind::kColourOrder:
      return "The pixels take their colours in the order " + letters(fault.order) +
             "; the description says " + letters(subject.format.order) + ". " +
             order_text(subject, fault.order);
    case FaultKind::kRunReversed:
      return "The data enters run " + number(fault.value) + " (" +
             run_pixels(subject, fault.value) +
             ") at its other end: " + run_ends(subject, fault.value) + '.';
    case FaultKind::kRunsSwapped:
      return "Runs " + number(fault.value) + " and " + number(fault.second) +
             " are wired in exchanged order: run " + number(fault.second) + " (" +
             run_pixels(subject, fault.second) + ") comes where run " + number(fault.value) + " (" +
             run_pixels(subject, fault.value) + ") is drawn, and the other way round.";
    case FaultKind::kPixelSkipped:
      return "No pixel sits at the place of " + pixel() + ": the string goes past it." +
             (fault.value < pixel_count(subject)
                  ? " Each later station shows what is meant for the one before it."
                  : "");
    case FaultKind::kPixelExtra:
      return "There is one pixel too many after " + pixel() +
             ", at no station. Each later station shows what is meant for the one after it, and "
             "the last stays dark.";
    case FaultKind::kJointLate: return joint_text(subject, fault);
    case FaultKind::kMirrored:
      return "Left and right are exchanged: it is wired as if the drawing of the BACK were the one "
             "of the FRONT.";
    case FaultKind::kTurned: return "Top and bottom are exchanged: it hangs the other way up.";
    case FaultKind::kNulls:
      return "There are " + counted(fault.value, "null pixel", "null pixels") +
             " before pixel 1; the description says " +
             counted(subject.placement.nulls, "null pixel", "null pixels") + '.';
    case FaultKind::kStartChannel: return start_text(subject, fault);
    case FaultKind::kPacking:
      return "The controller reads " + number(fault.value) +
             " channels of each universe; the description sends " +
             number(subject.patch->usable()) + '.';
    case FaultKind::kUniverseMissing: return universe_text(subject, fault);
    case FaultKind::kUniverseShifted: return shifted_text(subject, fault);
    case FaultKind::kCountShort: return count_text(subject, fault);
    case FaultKind::kLeadsExchanged:
      return "The leads of " + prop_name(subject, subject.prop) + " and " +
             prop_name(subject, static_cast<std::size_t>(fault.value)) +
             " are exchanged: what is sent to the one lights the other.";
    case FaultKind::kNoResponse: return "Nothing lights: the prop does not respond at all.";
    case FaultKind::kSag:
      return "Under full load white turns yellow from " + pixel() +
             " on: the volts are too low there.";
  }
  return "";
}

std::vector<std::string> suspects_of(const Subject& subject, const Fault& fault) {
  const auto side = [&](std::int32_t pixel, const char* what) {
    return capital(pixel_and_place(subject, pixel)) + ": " + what;
  };
  const std::int32_t k = fault.value;
  switch (fault.kind) {
    case FaultKind::kDataOpen:
    case FaultKind::kPowerOpen: {
      const bool data = fault.kind == FaultKind::kDataOpen;
      std::string wire = capital(wire_after(subject, k));
      for (const wiring::Splice& splice : subject.map->splices()) {
        if (static_cast<std::int32_t>(splice.from.value()) != k) continue;
        wire += ", " + number(std::lround(splice.wire.value())) + " mm along the bars";
      }
      const std::int32_t spares = spares_after(subject, k);
      if (spares > 0) {
        wire += ", with " + counted(spares, "spare pixel", "spare pixels") + " behind the frame";
      }
      wire += data ? ": its data wire and both joints" : ": positive, ground and their joints";
      return {side(k, data ? "its data output" : "where its positive and ground go on"), wire,
              side(k + 1, data ? "its data input" : "where its positive and ground come in")};
    }
    case FaultKind::kPixelDark:
    case FaultKind::kPixelColour: return {side(k, "its LED")};
    case FaultKind::kPixelStuck: return {side(k, "its chip")};
    default: return {};
  }
}

}  // namespace panewalk::find
