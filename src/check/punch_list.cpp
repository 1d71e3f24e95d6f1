#include <algorithm>

#include "check/walk.hpp"

namespace panewalk::check {
namespace {

using engine::Plan;
using engine::PlannedProp;

const PlannedProp& prop_of(const Plan& plan, const std::string& name) {
  return *plan.props[plan.find_prop(name).value()];
}

/// "output 2 of yard", or "its output of yard" where the site does not say which.
std::string output_of(const PlannedProp& prop) {
  const std::string output =
      prop.placement.output ? "output " + std::to_string(*prop.placement.output) : "its output";
  return output + " of " + prop.placement.controller;
}

std::string channels_of(const PlannedProp& prop) {
  return "universe " + std::to_string(prop.placement.universe) + ", start channel " +
         std::to_string(prop.placement.channel);
}

std::string protocol_of(const Plan& plan, const PlannedProp& prop) {
  const auto controller =
      std::find_if(plan.controllers.begin(), plan.controllers.end(),
                   [&prop](const auto& each) { return each.name == prop.placement.controller; });
  return controller->protocol == patch::Protocol::kE131 ? "E1.31" : "Art-Net";
}

std::string letters_of(const light::ColourOrder& order) {
  std::string letters;
  for (const light::Component component : order.components()) {
    letters += light::component_letter(component);
  }
  return letters;
}

/// Those behind the frame included; the controller knows nulls by a setting of their own.
std::string pixels_of(const PlannedProp& prop) {
  return std::to_string(prop.map.size() + static_cast<std::size_t>(prop.map.spare_count()));
}

PunchItem nothing_lit(const Plan& plan, const std::vector<WalkStop>& stops, const WalkStop& stop) {
  const PlannedProp& prop = prop_of(plan, stop.prop);
  const bool others_light = std::any_of(stops.begin(), stops.end(), [&stop](const WalkStop& other) {
    return other.prop != stop.prop && other.controller == stop.controller &&
           (other.seen == Seen::kAsDrawn || other.seen == Seen::kWrong);
  });
  const std::string fuse = "If a fuse has blown, find the cause before you fit a new one.";
  PunchItem item{
      .prop = stop.prop, .what = "Nothing lit when " + stop.prop + " was asked for.", .check = {}};
  item.check.push_back(
      others_light ? "Other props on " + stop.controller +
                         " light, so it has power and hears Panewalk. Is the fuse of " +
                         output_of(prop) + " whole? " + fuse
                   : "Is " + stop.controller + " powered, and are its fuses whole? " + fuse);
  item.check.push_back(
      "Is the plug of the lead-in home and dry, and is it the one that belongs to " + stop.prop +
      "?");
  item.check.push_back("Run the built-in test of " + output_of(prop) +
                       ". If the prop lights, its wiring is good and a setting or the network is "
                       "wrong; if it stays dark, look at its power, the lead-in and the first "
                       "pixel.");
  item.check.push_back("In the settings of " + stop.controller + ": does " + output_of(prop) +
                       " have " + channels_of(prop) + " and " + pixels_of(prop) +
                       " pixels, and does it listen to " + protocol_of(plan, prop) + "?");
  return item;
}

PunchItem another_lit(const Plan& plan, const std::vector<WalkStop>& stops, const WalkStop& stop) {
  const PlannedProp& prop = prop_of(plan, stop.prop);
  PunchItem item{.prop = stop.prop, .what = {}, .check = {}};
  if (stop.other.empty() || !plan.find_prop(stop.other)) {
    item.what = "Another prop lit when " + stop.prop + " was asked for.";
    item.check = {"Light " + stop.prop +
                      " with find-me and go round until you see what glows; then answer this stop "
                      "again with its name.",
                  "In the settings of " + stop.controller + ": is " + channels_of(prop) + " at " +
                      output_of(prop) + ", and nowhere else?"};
    return item;
  }
  const PlannedProp& other = prop_of(plan, stop.other);
  const bool exchanged = std::any_of(stops.begin(), stops.end(), [&stop](const WalkStop& each) {
    return each.prop == stop.other && each.seen == Seen::kAnother && each.other == stop.prop;
  });
  const bool one_controller = prop.placement.controller == other.placement.controller;
  const std::string settings = "In the settings: does " + output_of(prop) + " have " +
                               channels_of(prop) + ", and " + output_of(other) + " " +
                               channels_of(other) + "?";
  if (exchanged) {
    item.what = stop.other + " lit when " + stop.prop +
                " was asked for, and the other way round: the two are exchanged.";
    item.check.push_back("Are the two leads exchanged? Switch the power off, put the lead of " +
                         stop.prop + " on " + output_of(prop) + " and the lead of " + stop.other +
                         " on " + output_of(other) + ", and ask both again.");
  } else {
    item.what = stop.other + " lit when " + stop.prop + " was asked for.";
    item.check.push_back("Ask for " + stop.other + ". If " + stop.prop +
                         " lights then, the two are exchanged.");
    item.check.push_back("Follow the lead of " + stop.other + ": does it end at " +
                         output_of(other) + ", or at that of " + stop.prop + "?");
  }
  item.check.push_back(settings);
  if (!one_controller) {
    item.check.push_back("Are the addresses of " + prop.placement.controller + " and " +
                         other.placement.controller + " exchanged?");
  }
  return item;
}

PunchItem looks_wrong(const Plan& plan, const WalkStop& stop) {
  const PlannedProp& prop = prop_of(plan, stop.prop);
  return {
      .prop = stop.prop,
      .what = stop.prop + " lit, and something about it looks wrong.",
      .check = {
          "Go through the bench check of " + stop.prop + ": its answers say where to look.",
          "All colours exchanged alike: " + stop.controller + " should have the order " +
              letters_of(prop.format.order) + " and " + channels_of(prop) + " for it.",
          std::string{"Mirrored or turned: light corner-check. It should hang "} +
              (prop.turned ? "upside down" : "upright") + ", with its front to the street.",
          "Dark or frozen from one pixel on: does " + stop.controller + " have a count of " +
              pixels_of(prop) +
              " pixels or more for it? Then switch the power off and look at the splice or wire "
              "just before that pixel."}};
}

}  // namespace

std::vector<PunchItem> punch_list(const Plan& plan, const std::vector<WalkStop>& stops) {
  std::vector<PunchItem> items;
  for (const WalkStop& stop : stops) {
    if (!stop.seen || stop.seen == Seen::kAsDrawn) continue;
    PunchItem item = stop.seen == Seen::kNothing   ? nothing_lit(plan, stops, stop)
                     : stop.seen == Seen::kAnother ? another_lit(plan, stops, stop)
                                                   : looks_wrong(plan, stop);
    item.what += noted(stop.note);
    items.push_back(std::move(item));
  }
  return items;
}

}  // namespace panewalk::check
