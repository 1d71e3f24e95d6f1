#include "find/words_steps.hpp"

#include <algorithm>

#include "find/words.hpp"
#include "find/words_fault.hpp"
#include "find/words_places.hpp"

namespace panewalk::find {
namespace {

using practice::Fault;
using practice::FaultKind;
using practice::Subject;
using Steps = std::vector<std::string>;

constexpr const char* kPowerOff = "Switch the power off before you touch, plug or cut anything.";
constexpr const char* kSecondBreak = "Then search again: a second break can hide behind this one.";
constexpr const char* kSpare =
    "for one of the same kind: the same volts and the same order of colours, its arrow pointing "
    "on along the data. Positive to positive, data OUT to data IN, ground to ground; close it "
    "against water.";
constexpr const char* kJoin =
    "Join positive to positive, data OUT to data IN, ground to ground, and close it against water.";

std::string pixel(std::int32_t index) { return "pixel " + number(index); }

/// Settings that would look just like this break: they are read off before anybody cuts.
Steps settings_first(const Subject& subject, const Finding& finding) {
  Steps steps;
  const auto is = [&](FaultKind kind) {
    return [kind](const Possible& each) { return each.fault.kind == kind; };
  };
  const auto& also = finding.also_possible;
  const auto count = std::find_if(also.begin(), also.end(), is(FaultKind::kCountShort));
  if (count != also.end()) {
    steps.push_back(
        "Before you cut anything, read the count of pixels set at the controller for this output. "
        "It must be at least " +
        number(static_cast<std::int64_t>(subject.patch->chips())) +
        ", nulls and spares counted. If it is " + number(count->fault.value) +
        ", that is all that is wrong: set it right.");
  }
  const auto missing = std::find_if(also.begin(), also.end(), is(FaultKind::kUniverseMissing));
  if (missing != also.end()) {
    steps.push_back("Before you cut anything, see at the controller that universe " +
                    number(missing->fault.value) +
                    " is set for this output and that its packet counter rises. If not, that is "
                    "all that is wrong: set it right, or mend its way through the network.");
  }
  return steps;
}

/// A spare pixel on clips tells which of the three it is: an output, the wire, an input.
void add_probe(Steps& steps, const Subject& subject, std::int32_t k) {
  const std::string here = pixel(k);
  const std::string next = pixel(k + 1);
  const bool spares = spares_after(subject, k) > 0;
  steps.push_back(
      "Power off. Clip on a spare pixel of the same kind: positive and ground to those "
      "of " +
      here + ", its data IN to the data OUT of " + here +
      ". Power on. If it stays dark, the output of " + here + " is dead: power off and exchange " +
      here + '.');
  steps.push_back("If it lights, power off and move it to the data IN of " + next +
                  ". Power on. Dark: the wire " + std::string{spares ? "or the spare pixel " : ""} +
                  "between is broken, remake it with the power off. Lit: the input of " + next +
                  " is dead, exchange " + next + " with the power off.");
  steps.emplace_back(kJoin);
}

Steps of_data_break(const Subject& subject, std::int32_t k) {
  const std::string here = pixel(k);
  const std::string next = pixel(k + 1);
  Steps steps{kPowerOff};
  std::string look = "Still off: look at " + wire_after(subject, k) +
                     " and at both its ends for a cold joint, a broken strand, a loose plug, "
                     "water. Pull gently at each conductor.";
  if (!splice_name(subject, k).empty()) {
    look += " See that the arrow on " + next + " points on, away from " + here +
            ": a piece that is fed at its output stays dark.";
  }
  const std::int32_t spares = spares_after(subject, k);
  if (spares > 0) {
    look += spares == 1 ? " The spare pixel behind the frame there is in the data too."
                        : " The spare pixels behind the frame there are in the data too.";
  }
  steps.push_back(std::move(look));
  steps.push_back("Still off: measure ohms from the data wire at " + next +
                  " to ground, then to positive. Close to 0 is a short: part the wires there.");
  steps.push_back(
      "Power on, all pixels lit. Move the wire with a dry hand, nowhere near bare "
      "metal. If the light goes on past " +
      here + " now and then, remake that joint with the power off.");
  if (subject.fed_once) {
    steps.push_back("Measure volts from positive to ground at " + next +
                    ". Close to 0 means that the power is broken there, not the data.");
  }
  add_probe(steps, subject, k);
  steps.emplace_back(kSecondBreak);
  return steps;
}

Steps of_power_break(const Subject& subject, std::int32_t k) {
  const std::string here = pixel(k);
  const std::string next = pixel(k + 1);
  Steps steps{
      kPowerOff,
      "Still off: look at positive and ground of " + wire_after(subject, k) +
          " and at both its ends for a cold joint, a broken strand, a loose plug, water.",
      "Power on, all pixels lit at a low level. Measure volts from positive to ground at " + here +
          " and at " + next + ".",
      "Close to 0 at " + next + ": measure from the positive at " + next + " to the ground at " +
          here +
          ". Full volts mean that the ground is open, else it is the positive. Power off, then "
          "remake the joint or the wire. An open ground can kill inputs: leave the power off until "
          "it is mended.",
      "Full at both: the power is whole and the data is broken there."};
  add_probe(steps, subject, k);
  steps.emplace_back(kSecondBreak);
  return steps;
}

Steps of_no_response(const Subject& subject) {
  const std::string lead_in = (*subject.frame)[station_at(subject, 1)].name;
  Steps steps;
  const auto add = [&steps](std::string text) { steps.push_back(std::move(text)); };
  add("Before you touch anything: run the controller's own test pattern on this output. If it "
      "lights, wiring and power are good and the fault is in the network or in the settings; if "
      "it stays dark, it lies in the power or the wiring.");
  add("Lit: look at the link lamp and the cable, ping the controller's address, then see whether "
      "its packet counter rises. Still: another network card, a firewall, the wrong address or "
      "protocol. Rising: read its first universe (described is " +
      number(subject.placement.universe) + "), its start channel (described is " +
      number(subject.placement.channel) + ") and whether it plays a show of its own.");
  add("Dark: is the supply on, has its breaker (GFCI or RCD) tripped? Let it dry and find the "
      "leak before you switch it on again. What is on mains is for a licensed electrician.");
  add("Power off. Take the fuse of this prop out and measure it. If it is blown, find the short "
      "before you put in a new one of the same rating: ohms from positive to ground, piece by "
      "piece.");
  add("Power on. Measure volts at the lead-in, at " + lead_in +
      ". None: the lead, its plug or the fuse. Full: the data does not come. Where it hangs on "
      "the lead-out of another prop, see that this one lights to its end.");
  add("Power off. Put the lead on another output that works, with the same volts; power on. If it "
      "lights there, the first output is dead.");
  add("Power off. Clip a spare pixel of the same kind to the end of the lead; power on. If it "
      "lights, exchange pixel 1" +
      std::string{subject.placement.nulls > 0 ? " or the null pixel before it" : ""} +
      "; if not, mend the lead.");
  add("Then search again: nothing of the prop could be looked at.");
  return steps;
}

/// A break looks like a missing universe only where that is the last one; else the prop's length.
std::int32_t last_before_universe(const Subject& subject, std::int32_t universe) {
  const PixelRange range = pixels_in_universe(subject, universe);
  const std::int32_t last = pixel_count(subject);
  return range.first > 0 && range.last == last ? range.first - 1 : last;
}

/// A setting that may be right already: then it is a break after pixel `k`.
Steps set_or_mend(const Subject& subject, const std::string& to_set, std::int32_t k) {
  Steps steps{"Before you cut anything: " + to_set};
  if (k >= pixel_count(subject)) return steps;
  steps.push_back("If it is so already, " +
                  (k == 0 ? std::string{"no data comes to the prop. Go on:"}
                          : "the data breaks after " + pixel_text(subject, k) + ". Go on:"));
  for (std::string& step : k == 0 ? of_no_response(subject) : of_data_break(subject, k)) {
    steps.push_back(std::move(step));
  }
  return steps;
}

Steps of_sag(std::int32_t k) {
  const std::string from = k > 1 ? ", at " + pixel(k - 1) + ", at " + pixel(k) : "";
  Steps steps;
  const auto add = [&steps](std::string text) { steps.push_back(std::move(text)); };
  add("Until it is mended stay at half of full white or below.");
  add("See that every feed has its fuse and none is blown; find the short before a new one.");
  add("Light full white. Stop at once where a wire, a plug or a pixel gets warm or smells. "
      "Measure volts from positive to ground at the lead-in" +
      from +
      " and at the far end; compare them with what panewalk power computes. An even fall: "
      "too long or too thin a wire. A step at one place: a bad joint there. Low at the "
      "lead-in too: the supply or the lead.");
  add(kPowerOff);
  add("Remake the joint, connect the feed that is missing, or feed the far end too, with a "
      "fuse of its own at the supply; or lay thicker wire. Every fuse as small as its wire "
      "asks.");
  add("Or leave it, and lower the prop's level in the site file. That is no protection: fuses "
      "are.");
  return steps;
}

Steps of_setting(const std::string& to_set, const std::string& otherwise) {
  return {"Nothing needs to be cut or soldered.", to_set, otherwise};
}
constexpr const char* kOrCorrect =
    "Or leave it as it is and take the corrected file, where one is offered; not both.";

Steps of_wiring(const std::string& rewire) {
  return {
      "Nothing needs to be cut: the wiring can stay, and the file be corrected to fit it. Take "
      "the corrected file, where one is offered.",
      "Or have the wiring as drawn, not both. " + std::string{kPowerOff}, rewire};
}

Steps of_none(bool bright) {
  Steps steps{
      "If you saw something wrong all the same, it comes and goes: move each splice and "
      "plug gently while all pixels are lit, with a dry hand, and search again while it "
      "shows."};
  if (!bright) {
    steps.emplace_back(
        "For a sag under load measure the volts at the far end and compare them with what panewalk "
        "power computes.");
  }
  return steps;
}

Steps of_kind(const Subject& subject, const Fault& fault, bool bright) {
  const std::int32_t k = fault.value;
  switch (fault.kind) {
    case FaultKind::kNone: return of_none(bright);
    case FaultKind::kDataOpen: return of_data_break(subject, k);
    case FaultKind::kPowerOpen: return of_power_break(subject, k);
    case FaultKind::kPixelDark:
      return {kPowerOff,
              "Still off: see that " + pixel(k) + " sits in its hole and is not covered.",
              "Exchange " + pixel(k) + ' ' + kSpare,
              "Or cut it out, join the data past it, and take the corrected file, where one is "
              "offered."};
    case FaultKind::kPixelColour:
      return {"It harms nothing else: it can stay until you have a spare.", kPowerOff,
              "Exchange " + pixel(k) + ' ' + kSpare};
    case FaultKind::kPixelStuck:
      return {"Go dark, then switch the power off and on. If " + pixel(k) +
                  " stays dark now, it only held old light: search again.",
              kPowerOff, "Exchange " + pixel(k) + ' ' + kSpare, kSecondBreak};
    case FaultKind::kColourOrder:
      return of_setting(
          "Set the order of the colours at the controller to that of the "
          "description. If only a part of the prop is wrong, it is of another batch: "
          "then set nothing and search again.",
          kOrCorrect);
    case FaultKind::kRunReversed:
      return of_wiring(
          "Bring the data into run " + number(k) +
          " at the end that is drawn, and turn its pixels, each arrow along the data.");
    case FaultKind::kRunsSwapped:
      return of_wiring("Wire runs " + number(k) + " and " + number(fault.second) +
                       " in the order drawn.");
    case FaultKind::kPixelSkipped:
      return of_wiring("Put a pixel in at " + pixel_text(subject, k) +
                       ": move each later pixel back by one hole, or splice in one more of the "
                       "same kind. " +
                       kJoin);
    case FaultKind::kPixelExtra:
      return of_wiring("Cut out the pixel that is too many after " + pixel_text(subject, k) + ". " +
                       kJoin);
    case FaultKind::kJointLate:
      return of_wiring("Wire the pixel at joint " + practice::value_text(subject, fault) +
                       " where the data first comes to it.");
    case FaultKind::kMirrored:
      return of_wiring("Wire it as the drawing of the BACK shows, lying face down.");
    case FaultKind::kTurned:
      return {"Nothing needs to be cut.",
              "Power off. Hang it the other way up: two people, no wind, 3 m (10 ft) from overhead "
              "lines, firm ground under the ladder.",
              kOrCorrect};
    case FaultKind::kNulls:
      return of_wiring("Have " + counted(subject.placement.nulls, "null pixel", "null pixels") +
                       " before pixel 1, or set as many at the controller.");
    case FaultKind::kStartChannel:
      return of_setting(
          "Set the start channel at the controller to " + number(subject.placement.channel) + '.',
          kOrCorrect);
    case FaultKind::kPacking:
      return of_setting("Set the controller to " + number(subject.patch->usable()) +
                            " channels of each universe. That is for all its props.",
                        kOrCorrect);
    case FaultKind::kUniverseMissing:
      return set_or_mend(subject,
                         "see at the controller that universe " + number(k) +
                             " is set for this output and that its packet counter rises. If it "
                             "stands still, mend the way there: the switch, a firewall, or send to "
                             "the controller's own address instead of multicast.",
                         last_before_universe(subject, k));
    case FaultKind::kUniverseShifted:
      return of_setting("Set the first universe at the controller to " +
                            number(subject.placement.universe) +
                            ". Some count from 0, some from 1.",
                        kOrCorrect);
    case FaultKind::kCountShort:
      return set_or_mend(subject,
                         "set the count of pixels at the controller to " +
                             number(static_cast<std::int64_t>(subject.patch->chips())) +
                             ", nulls and spares counted.",
                         pixel_of_fault(subject, fault));
    case FaultKind::kLeadsExchanged:
      return {
          "Read at both props which volts they take: the wrong ones destroy every pixel at "
          "once. Go on only if they are the same.",
          kPowerOff,
          "Exchange the leads of " + prop_name(subject, subject.prop) + " and " +
              prop_name(subject, static_cast<std::size_t>(k)) +
              " at the controller, and label both ends.",
          kOrCorrect};
    case FaultKind::kNoResponse: return of_no_response(subject);
    case FaultKind::kSag: return of_sag(k);
  }
  return {};
}

bool needs_a_cut(FaultKind kind) {
  switch (kind) {
    case FaultKind::kDataOpen:
    case FaultKind::kPowerOpen:
    case FaultKind::kPixelStuck: return true;
    default: return false;
  }
}

}  // namespace

Steps steps_for(const Subject& subject, const Finding& finding, bool bright) {
  const Fault& fault = finding.likeliest.fault;
  const Fault& second = finding.likeliest.second;
  Steps steps;
  if (needs_a_cut(fault.kind)) steps = settings_first(subject, finding);
  if (second.kind == FaultKind::kColourOrder) {
    steps.push_back(
        "First the colours, which need no cut: set their order at the controller to that of the "
        "description, or that of the description to " +
        practice::value_text(subject, second) + ", not both.");
  }
  for (std::string& step : of_kind(subject, fault, bright)) steps.push_back(std::move(step));
  return steps;
}

}  // namespace panewalk::find
