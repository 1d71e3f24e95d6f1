#include <algorithm>
#include <map>

#include "config/units.hpp"
#include "prop/place_words.hpp"
#include "sheet/pages.hpp"
#include "sheet/steps.hpp"

namespace panewalk::sheet {
namespace {

using base::PixelIndex;

std::string volts(base::Volts value) { return fixed(value.value(), 2) + " V"; }
std::string amps(base::Amps value) { return fixed(value.value(), 2) + " A"; }

std::string list_of(const std::vector<std::string>& items) {
  std::string all = "<ul>\n";
  for (const std::string& item : items) all += "<li>" + escaped(item) + "</li>\n";
  return all + "</ul>\n";
}

std::string host_of(const patch::Address& address) {
  if (address.multicast) return "multicast";
  std::string text;
  for (const std::uint8_t octet : address.host) {
    text += (text.empty() ? "" : ".") + std::to_string(octet);
  }
  return text;
}

/// What the prop takes of one universe.
struct Share {
  std::size_t first_pixel = 0, last_pixel = 0;  // that begin in it; 0 for none
  std::uint16_t least = 512, most = 1;          // channels
};

std::map<std::uint16_t, Share> shares(const engine::PlannedProp& prop,
                                      const patch::PropPatch& patch) {
  std::map<std::uint16_t, Share> all;
  for (std::size_t slot = 0; slot < patch.chips(); ++slot) {
    for (std::size_t component = 0; component < patch.order().channels(); ++component) {
      const patch::Channel channel = patch.channel_of(slot, component);
      Share& share = all[channel.universe];
      share.least = std::min(share.least, channel.channel);
      share.most = std::max(share.most, channel.channel);
    }
  }
  for (std::size_t i = 1; i <= prop.map.size(); ++i) {
    Share& share = all[patch.of(PixelIndex::of(i)).universe];
    if (share.first_pixel == 0) share.first_pixel = i;
    share.last_pixel = i;
  }
  return all;
}

std::string place(const engine::PlannedProp& prop, PixelIndex pixel, prop::Side side) {
  return prop::place_in_words(prop.frame, prop.map.station_of(pixel), side);
}

std::string limit_text(const SheetInput& input) {
  using Why = power::LevelLimit::Why;
  const power::LevelLimit& limit = input.report->limit;
  const std::string level = fixed(limit.level.share() * 100, 1) + " %";
  switch (limit.why) {
    case Why::kNothing:
      return input.study->supply
                 ? "none: the supply carries all its props at full white"
                 : "none by the volts; the site names no supply, so its amps are not known";
    case Why::kAmps:
      return level + " with everything on the supply at the same level; more takes over its " +
             config::decimal(input.study->supply->value()) + " A";
    case Why::kVolts: return level + "; more brings a pixel below " + volts(input.report->least);
    case Why::kBlack: return "0 %: even black is too much for the supply or its wire";
  }
  return "";
}

std::string fuse_text(const power::LegFuse& leg) {
  if (!leg.fuse.amps) return "none fits: take a thicker wire";
  const std::string value = config::decimal(leg.fuse.amps->value()) + " A";
  if (!leg.fuse.holds) return value + ", which will blow: split the leg or take a thicker wire";
  return leg.covered ? value + ", or the lead's fuse covers it" : value;
}

std::string figures(const SheetInput& input) {
  const engine::PlannedProp& prop = *input.plan->props[input.prop];
  const power::Report& report = *input.report;
  std::vector<std::vector<std::string>> rows;
  const auto add = [&rows](const std::string& name, const std::string& value) {
    rows.push_back({"<b>" + name + "</b>", escaped(value)});
  };
  const std::string from =
      config::decimal(input.study->source.value()) + " V" +
      (input.study->supply
           ? ", " + config::decimal(input.study->supply->value()) + " A on its nameplate"
           : ", no supply is named in the site");
  add("Supply", from);
  if (report.full) {
    const power::Solution& full = *report.full;
    const auto lowest = PixelIndex::of(full.lowest + 1);
    add("Full white takes", amps(full.total) + ", " + fixed(full.given.value(), 1) + " W");
    add("Lowest volts", volts(full.lowest_volts()) + " at pixel " + std::to_string(lowest.value()) +
                            ", from the BACK: " + place(prop, lowest, prop::Side::kBack) +
                            (full.lowest_volts() < report.least     ? "; too low"
                             : full.lowest_volts() < report.warning ? "; more than 5 % lost"
                                                                    : "; good"));
    if (report.warm_below) {
      add("White turns warm",
          "below " + config::decimal(report.warm_below->value()) + " V: " +
              (report.warm_from ? "from pixel " + std::to_string(report.warm_from->value()) + " on"
                                : "nowhere at full white"));
    }
  } else {
    add("Full white", "the chain collapses: this wire can't carry it");
  }
  add("Level limit", limit_text(input));
  add("Thinnest wire that is enough",
      report.enough
          ? config::wire_text(*report.enough) + "; the prop has " +
                config::wire_text(input.study->power.wire)
          : "none with these feeds; the prop has " + config::wire_text(input.study->power.wire));
  add("Reckoned with", config::current_text(input.study->pixel.full_white) +
                           " a pixel at full white, " +
                           config::current_text(input.study->pixel.idle) + " at black, copper at " +
                           config::temperature_text(input.study->power.temperature));
  return table("plain", {}, rows);
}

std::string legs(const SheetInput& input) {
  const power::Report& report = *input.report;
  if (!report.full || report.fuses.empty()) return "";
  std::vector<std::vector<std::string>> rows;
  for (const power::LegFuse& leg : report.fuses) {
    rows.push_back({kTick, escaped(leg.leg), escaped(config::wire_text(leg.wire)),
                    amps(leg.running), "<b>" + escaped(fuse_text(leg)) + "</b>", ""});
  }
  return "<h3>Legs and fuses</h3>\n" +
         paragraph("One fuse a leg, in the positive wire, where the leg begins at the supply.") +
         table("", {"", "Leg", "Thinnest wire behind it", "Carries", "Fuse", "Measured"}, rows);
}

}  // namespace

std::string patch_page(const SheetInput& input) {
  const engine::PlannedProp& prop = *input.plan->props[input.prop];
  const patch::PropPatch& patch = input.plan->patch.props[input.prop];
  const patch::ControllerDescription& controller = input.plan->controllers[patch.controller()];
  const Chain chain = chain_of(*input.plan, input.prop);
  std::vector<std::vector<std::string>> rows;
  const auto add = [&rows](const char* name, const std::string& value) {
    rows.push_back({std::string{"<b>"} + name + "</b>", escaped(value)});
  };
  add("Controller", controller.name + ", " +
                        (controller.protocol == patch::Protocol::kE131 ? "E1.31" : "Art-Net") +
                        ", " + host_of(controller.address));
  add("Output", prop.placement.output ? std::to_string(*prop.placement.output)
                                      : std::string{"of its own, not numbered in the site"});
  if (chain.before || chain.after) {
    add("In the chain", (chain.before ? "after " + *chain.before : std::string{"first"}) +
                            (chain.after ? ", before " + *chain.after : ", the last"));
  }
  add("Start", "universe " + std::to_string(prop.placement.universe) + ", channel " +
                   std::to_string(prop.placement.channel));
  std::string order;
  for (const light::Component component : patch.order().components()) {
    order += light::component_letter(component);
  }
  add("Colours", order + ", " + std::to_string(patch.order().channels()) + " channels a pixel");
  add("Chips in the chain",
      std::to_string(patch.chips()) + ": " + counted(prop.map.size(), "pixel", "pixels") + ", " +
          counted(static_cast<std::size_t>(prop.placement.nulls), "null", "nulls") + ", " +
          counted(static_cast<std::size_t>(prop.map.spare_count()), "spare", "spares"));
  add("Universe filled to", std::to_string(patch.usable()) + " channels, " +
                                std::to_string(controller.frames_per_second) + " frames a second");
  std::vector<std::vector<std::string>> universes;
  for (const auto& [universe, share] : shares(prop, patch)) {
    universes.push_back({kTick, std::to_string(universe),
                         std::to_string(share.least) + " to " + std::to_string(share.most),
                         share.first_pixel == 0 ? std::string{"none begins here"}
                                                : std::to_string(share.first_pixel) + " to " +
                                                      std::to_string(share.last_pixel)});
  }
  return table("plain", {}, rows) +
         table("", {"", "Universe", "Channels", "Pixels that begin in it"}, universes);
}

std::string power_page(const SheetInput& input) {
  const power::Report& report = *input.report;
  std::vector<std::string> notes;
  if (report.class_two) {
    notes.push_back(
        report.class_two->within
            ? "By its nameplate this supply is within Class 2; only one that is marked so is one."
            : "This supply is not Class 2 (at these volts " +
                  config::decimal(report.class_two->most.value()) +
                  " A at most): its output can start a fire, so treat the wiring as a power "
                  "circuit.");
  }
  notes.insert(
      notes.end(),
      {"This is a calculation. Fuses, GFCI/RCD and the right wire protect; a limit in "
       "software protects nothing, and a fault can command full white.",
       "A fuse protects the wire: never a larger one than here.",
       "Load a supply to 80 % of its nameplate at most.",
       "Never join the positive of two supplies; join their grounds.",
       "Measure before you trust it: ten pixels at white and at black, and the volts at both "
       "ends; type them into the prop file or into panewalk power."});
  return figures(input) + legs(input) + "<h3>Mind</h3>\n" + list_of(notes) +
         table("", {"Measured", "Value", "Date"},
               {{"Ten pixels at white", "", ""},
                {"Ten pixels at black", "", ""},
                {"Volts at pixel 1, full white", "", ""},
                {"Volts at the last pixel, full white", "", ""}});
}

std::string bench_page(const SheetInput& input) {
  std::string all = paragraph(
      "Or with the page of panewalk serve, which writes it into the logbook. "
      "In this order; stop at the first no and mend it.");
  all +=
      "<table class=\"bench\"><thead><tr><th>Step</th><th>Yes / no</th><th>Notes</th></tr></thead>"
      "<tbody>\n";
  std::vector<std::string> not_asked;
  std::size_t number = 0;
  for (const CheckRow& row : input.bench) {
    if (row.why_not) {
      not_asked.push_back(row.title + ": " + *row.why_not);
      continue;
    }
    all += "<tr><td><b>" + std::to_string(++number) + ". " + escaped(row.title) + "</b><br>" +
           escaped(row.question) + "<br><span class=\"small\">" + escaped(row.look_for) +
           "</span></td><td class=\"yes\">" + kTick + " yes<br><br>" + kTick +
           " no</td><td class=\"write\"></td></tr>\n";
  }
  all += "</tbody></table>\n";
  if (!not_asked.empty()) all += "<h3>Not asked of this prop</h3>\n" + list_of(not_asked);
  return all + paragraph("Checked by ______________________   on ______________");
}

std::string cautions() {
  return "<div class=\"caution\"><h3>Before you begin</h3>\n" +
         list_of({
             "This sheet comes from a calculator. It can't switch anything off. Fuses, GFCI/RCD "
             "and "
             "the right wire protect; a limit in software does not.",
             "The codes of your place come first. Mains: listed, enclosed supplies, terminals "
             "covered, by a licensed electrician. Outdoor outlets behind a GFCI or a 30 mA RCD.",
             "Power off before you plug, splice or open a box.",
             "Read the label and measure the volts before you connect: the wrong ones destroy "
             "every "
             "pixel at once. Outdoors stay at or below 30 V DC.",
             "Supplies that are not Class 2 can start a fire: treat their wiring as a power "
             "circuit.",
             "Boxes against splashes, drip loops, cables in from below.",
             "Goggles for sawing and drilling, air for cement, no heat on PVC.",
             "Keep yourself, ladder, pipe and wire 3 m (10 ft) from overhead lines. Ladder with "
             "non-conductive rails, 4 up to 1 out, firm ground, someone with you, not in wind.",
             "Wind pulls on frames: anchor each, with a second fixing over a walkway.",
             "Holiday wiring is temporary: 90 days (NEC 590.3(B)).",
         }) +
         "</div>\n";
}

}  // namespace panewalk::sheet
