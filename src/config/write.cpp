#include "config/write.hpp"

#include "config/describe_pattern.hpp"
#include "config/describe_site.hpp"
#include "config/units.hpp"
#include "pattern/region.hpp"

namespace panewalk::config {
namespace {

Node wiring_node(const wiring::WiringDescription& wiring) {
  std::vector<Node> spares;
  for (const wiring::Spares& one : wiring.spares) {
    Node node = object_node({});
    put(node, "after", number_node(one.after));
    put(node, "count", number_node(one.count));
    spares.push_back(std::move(node));
  }
  Node node = object_node({});
  put(node, "route",
      wiring.fewest_splices ? text_node("fewest splices") : texts_node(wiring.route));
  put(node, "spares", list_node(std::move(spares)));
  return node;
}

Node pixel_node(const patch::PixelFormat& pixel, const power::PixelPower& power) {
  std::string order;
  for (const light::Component component : pixel.order.components()) {
    order += light::component_letter(component);
  }
  Node node = object_node({});
  put(node, "order", text_node(order));
  put(node, "channels", number_node(static_cast<double>(pixel.order.channels())));
  put(node, "volts", number_node(power.volts.value()));
  put(node, "full_white", text_node(current_text(power.full_white)));
  put(node, "idle", text_node(current_text(power.idle)));
  put(node, "draws",
      text_node(power.draws == power::Draws::kConstantPower ? "constant power"
                                                            : "constant current"));
  if (power.least_volts) put(node, "least_volts", number_node(power.least_volts->value()));
  put(node, "bit_rate", text_node(bit_rate_text(pixel.bits_per_second)));
  put(node, "reset", text_node(duration_text(pixel.reset)));
  return node;
}

Node feed_node(const power::Feed& feed) {
  if (feed.kind == power::Feed::Kind::kLeadIn) return text_node("lead-in");
  if (feed.kind == power::Feed::Kind::kTieBack) return text_node("tie-back");
  Node node = object_node({});
  put(node, "at", text_node(feed.at));
  put(node, "wire", text_node(wire_text(feed.wire)));
  put(node, "length", text_node(length_text(feed.length)));
  return node;
}

Node measured_node(const power::Measured& measured) {
  Node node = object_node({});
  if (measured.ten_white) put(node, "ten_white", text_node(current_text(*measured.ten_white)));
  if (measured.ten_black) put(node, "ten_black", text_node(current_text(*measured.ten_black)));
  if (measured.near_volts) put(node, "near_volts", number_node(measured.near_volts->value()));
  if (measured.far_volts) put(node, "far_volts", number_node(measured.far_volts->value()));
  return node;
}

Node power_node(const power::PowerDescription& power) {
  std::vector<Node> feeds;
  for (const power::Feed& feed : power.feeds) feeds.push_back(feed_node(feed));
  Node node = object_node({});
  put(node, "wire", text_node(wire_text(power.wire)));
  put(node, "temperature", text_node(temperature_text(power.temperature)));
  put(node, "contact", text_node(resistance_text(power.contact)));
  put(node, "feeds", list_node(std::move(feeds)));
  if (power.lead) {
    Node lead = object_node({});
    put(lead, "length", text_node(length_text(power.lead->length)));
    put(lead, "wire", text_node(wire_text(power.lead->wire)));
    put(node, "lead", std::move(lead));
  }
  if (power.measured) put(node, "measured", measured_node(*power.measured));
  return node;
}

Node pipe_node(const prop::PipeDescription& pipe) {
  Node node = object_node({});
  put(node, "outside", text_node(length_text(pipe.outside)));
  put(node, "take_off", text_node(length_text(pipe.take_off)));
  put(node, "stock", text_node(length_text(pipe.stock)));
  put(node, "kerf", text_node(length_text(pipe.kerf)));
  return node;
}

Node network_node(const patch::Network& network) {
  Node node = object_node({});
  put(node, "multicast_hops", number_node(network.multicast_hops));
  put(node, "multicast_loop", text_node(network.multicast_loop ? "on" : "off"));
  put(node, "dscp", number_node(network.dscp));
  put(node, "sync_delay", text_node(duration_text(network.sync_delay)));
  return node;
}

Node controller_node(const patch::ControllerDescription& controller) {
  Node node = object_node({});
  put(node, "name", text_node(controller.name));
  put(node, "protocol",
      text_node(controller.protocol == patch::Protocol::kArtNet ? "artnet" : "e131"));
  put(node, "address", text_node(address_text(controller.address)));
  put(node, "rate", text_node(rate_text(controller.frames_per_second)));
  put(node, "channels_per_universe", number_node(controller.channels_per_universe));
  put(node, "priority", number_node(controller.priority));
  put(node, "repeat",
      text_node(controller.unchanged == patch::Unchanged::kEveryFrame ? "every frame"
                                                                      : "when it changes"));
  if (controller.interface) put(node, "interface", text_node(*controller.interface));
  if (controller.burst) put(node, "burst", number_node(*controller.burst));
  if (controller.sync) {
    put(node, "sync",
        controller.protocol == patch::Protocol::kArtNet ? text_node("broadcast")
                                                        : number_node(controller.sync->universe));
  }
  if (controller.supply) {
    Node supply = object_node({});
    put(supply, "volts", number_node(controller.supply->volts.value()));
    put(supply, "amps", number_node(controller.supply->amps.value()));
    put(node, "supply", std::move(supply));
  }
  return node;
}

Node placed_node(const PlacedProp& prop) {
  Node node = object_node({});
  if (!prop.name.empty()) put(node, "name", text_node(prop.name));
  put(node, "file", text_node(prop.file));
  put(node, "controller", text_node(prop.placement.controller));
  put(node, "universe", number_node(static_cast<double>(prop.placement.universe)));
  put(node, "channel", number_node(static_cast<double>(prop.placement.channel)));
  put(node, "nulls", number_node(prop.placement.nulls));
  if (prop.placement.output) put(node, "output", number_node(*prop.placement.output));
  if (prop.place) put(node, "place", point_node(*prop.place));
  put(node, "hung", text_node(prop.hung == Hung::kTurned ? "turned" : "upright"));
  put(node, "level", text_node(level_text(prop.cap.share())));
  return node;
}

void put_paint(Node& node, const pattern::Paint& paint) {
  std::vector<std::string> names;
  for (const pattern::ColourName colour : paint.colours) {
    names.push_back(colour_names()[static_cast<std::size_t>(colour)]);
  }
  if (names.size() == 1) {
    put(node, "colour", text_node(names.front()));
  } else {
    put(node, "colours", texts_node(names));
  }
  put(node, "by", text_node(by_names()[static_cast<std::size_t>(paint.by)]));
  put(node, "level", text_node(level_text(paint.level.share())));
  put(node, "every", number_node(paint.every));
}

/// Puts the verb and what belongs to it.
struct ActionWriter {
  Node& node;

  void operator()(const pattern::LightStep& step) const {
    std::vector<Node> paints;
    for (const pattern::Paint& paint : step.paints) {
      Node one = object_node({});
      put(one, pattern::is_family(paint.target) ? "each" : "region", text_node(paint.target));
      put_paint(one, paint);
      paints.push_back(std::move(one));
    }
    put(node, "light", list_node(std::move(paints)));
  }
  void operator()(const pattern::OneByOneStep& step) const {
    put(node, "one_by_one", text_node(step.paint.target));
    put_paint(node, step.paint);
  }
  void operator()(const pattern::MoveStep& step) const {
    put(node, "move", text_node(step.paint.target));
    put_paint(node, step.paint);
    put(node, "tail", number_node(step.tail));
    put(node, "pace", text_node(rate_text(step.pixels_per_second)));
  }
  void operator()(const pattern::RampStep& step) const {
    put(node, "ramp", text_node(step.paint.target));
    put_paint(node, step.paint);
    put(node, "from", text_node(level_text(step.from.share())));
    put(node, "to", text_node(level_text(step.to.share())));
  }
  void operator()(const pattern::PulseStep& step) const {
    put(node, "pulse", text_node(step.paint.target));
    put_paint(node, step.paint);
    put(node, "period", text_node(duration_text(step.period)));
  }
};

Node step_node(const pattern::Step& step) {
  Node node = object_node({});
  std::visit(ActionWriter{node}, step.action);
  if (!std::holds_alternative<pattern::MoveStep>(step.action)) {
    put(node, "hold", text_node(step.hold ? duration_text(*step.hold) : "until confirmed"));
  }
  if (!step.say.empty()) put(node, "say", text_node(step.say));
  return node;
}

}  // namespace

std::string write(const PropFile& prop) {
  std::vector<Node> sections;
  for (std::size_t i = 0; i < prop.sections.size(); ++i) {
    sections.push_back(section_node(prop.sections[i], prop.points_files[i]));
  }
  Node node = object_node({{.name = "format", .value = number_node(1)}});
  put(node, "prop", text_node(prop.name));
  put(node, "about", text_node(prop.about));
  put(node, "sections", list_node(std::move(sections)));
  put(node, "wiring", wiring_node(prop.wiring));
  put(node, "pixel", pixel_node(prop.pixel, prop.pixel_power));
  put(node, "power", power_node(prop.power));
  put(node, "pipe", pipe_node(prop.pipe));
  return to_text(node);
}

std::string write(const SiteFile& site) {
  std::vector<Node> controllers;
  for (const auto& controller : site.controllers)
    controllers.push_back(controller_node(controller));
  std::vector<Node> props;
  for (const PlacedProp& prop : site.props) props.push_back(placed_node(prop));
  Node node = object_node({{.name = "format", .value = number_node(1)}});
  put(node, "site", text_node(site.name));
  put(node, "network", network_node(site.network));
  put(node, "controllers", list_node(std::move(controllers)));
  put(node, "props", list_node(std::move(props)));
  if (site.walk) put(node, "walk", texts_node(*site.walk));
  put(node, "unwatched", text_node(duration_text(site.unwatched)));
  return to_text(node);
}

std::string write(const pattern::PatternDescription& pattern) {
  std::vector<Node> steps;
  for (const pattern::Step& step : pattern.steps) steps.push_back(step_node(step));
  Node node = object_node({{.name = "format", .value = number_node(1)}});
  put(node, "pattern", text_node(pattern.name));
  put(node, "purpose", text_node(pattern.purpose));
  put(node, "look_for", text_node(pattern.look_for));
  put(node, "catches", texts_node(pattern.catches));
  put(node, "steps", list_node(std::move(steps)));
  return to_text(node);
}

}  // namespace panewalk::config
