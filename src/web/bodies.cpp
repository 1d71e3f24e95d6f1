#include "web/bodies.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "web/api.hpp"
#include "web/stream_state.hpp"

namespace panewalk::web {
namespace {

// Keeps the order in which fields are given.
using Json = nlohmann::ordered_json;

/// What a client sent may not be UTF-8 and still be quoted in a problem.
std::string text_of(const Json& json, Layout layout) {
  return json.dump(layout == Layout::kIndented ? 2 : -1, ' ', false,
                   Json::error_handler_t::replace);
}
std::string body_of(const Json& json) { return text_of(json, Layout::kIndented) + '\n'; }

/// Keeps binary fractions out of the print; no minus zero.
double rounded(double value, double steps_in_one) {
  const double nearest = std::round(value * steps_in_one) / steps_in_one;
  return nearest == 0 ? 0 : nearest;
}
double in_metres(base::Millimetres length) { return rounded(length.value() / 1000, 1e6); }
double in_amps(base::Amps current) { return rounded(current.value(), 1e3); }
double share_of(double share) { return rounded(share, 1e4); }

std::string fixed(double value, int decimals) {
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  return text;
}

Json strings(std::span<const std::string> texts) {
  Json list = Json::array();
  for (const std::string& text : texts) list.push_back(text);
  return list;
}

Json prop_json(const engine::Plan& plan, std::size_t index) {
  const engine::PlannedProp& prop = *plan.props[index];
  Json place = nullptr;
  if (prop.place) place = Json::array({in_metres(prop.place->x), in_metres(prop.place->y)});
  return {{"prop", prop.name},
          {"about", prop.about},
          {"pixels", prop.map.size()},
          {"controller", plan.controllers[plan.patch.props[index].controller()].name},
          {"universe", prop.placement.universe},
          {"channel", prop.placement.channel},
          {"level", share_of(prop.cap.share())},
          {"place_m", std::move(place)},
          {"hung", prop.turned ? "turned" : "upright"}};
}

Json controller_json(const patch::ControllerDescription& controller) {
  Json priority = nullptr;  // only E1.31 has one
  if (controller.protocol == patch::Protocol::kE131) priority = controller.priority;
  return {{"name", controller.name},
          {"protocol", patch::to_text(controller.protocol)},
          {"address", address_text(controller)},
          {"rate_per_second", controller.frames_per_second},
          {"channels_per_universe", controller.channels_per_universe},
          {"priority", std::move(priority)}};
}

const char* word_of(engine::Mode mode) {
  switch (mode) {
    case engine::Mode::kSilent: return "silent";
    case engine::Mode::kLit: return "lit";
    case engine::Mode::kDark: return "dark";
    case engine::Mode::kReleasing: return "releasing";
  }
  return "";
}

void add_hex(std::uint8_t byte, std::string& text) {
  constexpr const char* kDigits = "0123456789abcdef";
  text += kDigits[byte >> 4U];
  text += kDigits[byte & 0x0fU];
}

void add_hex(light::Colour colour, bool has_white, std::string& text) {
  add_hex(colour.red, text);
  add_hex(colour.green, text);
  add_hex(colour.blue, text);
  if (has_white) add_hex(colour.white, text);
}

std::string sent_hex(const View& view, std::size_t prop) {
  const bool has_white = view.plan->props[prop]->format.order.has_white();
  std::string text;
  for (const light::Colour colour : view.live->status.sent.prop(prop)) {
    add_hex(colour, has_white, text);
  }
  return text;
}

/// In data order, so that it can be laid beside what was sent.
std::string shown_hex(const View& view, std::size_t index) {
  const engine::PlannedProp& prop = *view.plan->props[index];
  const std::vector<light::Colour> by_station = view.shown(index);
  std::string text;
  for (std::size_t i = 1; i <= prop.map.size(); ++i) {
    const std::size_t station = prop.map.station_of(base::PixelIndex::of(i)).value();
    add_hex(station < by_station.size() ? by_station[station] : light::kBlack,
            prop.format.order.has_white(), text);
  }
  return text;
}

const engine::Look::Lit* lit_of(const engine::Look* look, std::size_t prop) {
  if (look == nullptr) return nullptr;
  const auto found = std::find_if(look->lit.begin(), look->lit.end(),
                                  [prop](const auto& lit) { return lit.prop == prop; });
  return found == look->lit.end() ? nullptr : &*found;
}

Json lit_json(const View& view, std::size_t prop) {
  const engine::Status::Lit& state = view.live->status.props[prop];
  Json json = {{"prop", view.plan->props[prop]->name},
               {"lit", state.lit},
               {"beat", nullptr},
               {"beats", nullptr},
               {"caption", nullptr},
               {"waits", state.waits}};
  if (const auto* lit = lit_of(view.look, prop); state.lit && lit != nullptr) {
    // The stream may be a frame behind the look, whose number of beats may differ.
    const std::size_t beat = state.beat % lit->beats();
    json["beat"] = beat + 1;
    json["beats"] = lit->beats();
    json["caption"] = lit->caption(lit->beat(beat));
  }
  json["sent"] = sent_hex(view, prop);
  if (view.shown) json["shown"] = shown_hex(view, prop);
  return json;
}

Json held_json(const View& view) {
  const engine::Status& status = view.live->status;
  if (!status.held) return nullptr;
  const light::Held& held = *status.held;
  const bool red = held.reason == light::Held::Reason::kRedFlash;
  Json prop = nullptr;
  if (held.prop) prop = view.plan->props[*held.prop]->name;
  const double seconds =
      std::max(0.0, std::chrono::duration<double>(status.at - held.since).count());
  std::string text = "held back " + fixed(seconds, 1) + " s: " +
                     (held.prop ? view.plan->props[*held.prop]->name : "all lit props together") +
                     " would flash " + (red ? "red " : "") + "more often than 3 times a second";
  return {
      {"why", red ? "red flash" : "flash"}, {"prop", std::move(prop)}, {"text", std::move(text)}};
}

/// What the level limiter holds back, and why; "" where it is nothing.
std::string limit_text(const engine::Plan& plan, const engine::SupplyStatus& supply) {
  if (supply.factor <= 0) {
    return "dark: the idle current alone, " + fixed(supply.asked.value(), 1) +
           " A, is more than the supply gives (" + fixed(supply.most.value(), 1) + " A)";
  }
  std::string text;
  if (supply.factor < 1) {
    text = "dimmed to " + fixed(supply.factor * 100, 0) + " %: the picture asks for " +
           fixed(supply.asked.value(), 1) + " A, the supply gives " +
           fixed(supply.most.value(), 1) + " A";
  }
  if (supply.low_volts) {
    const engine::LowVolts& low = *supply.low_volts;
    if (!text.empty()) text += "; ";
    text += plan.props[low.prop]->name + " dimmed to " + fixed(low.factor * 100, 0) +
            " %: its pixel " + std::to_string(low.pixel.value()) + " would have " +
            fixed(low.lowest.value(), 1) + " V, it needs " + fixed(low.least.value(), 1) + " V";
  }
  return text;
}

Json supply_json(const engine::Plan& plan, std::size_t controller,
                 const engine::SupplyStatus& supply) {
  std::string text = limit_text(plan, supply);
  return {{"controller", plan.controllers[controller].name},
          {"asked_amps", in_amps(supply.asked)},
          {"supply_amps", in_amps(supply.most)},
          {"factor", share_of(supply.factor)},
          {"text", text.empty() ? Json(nullptr) : Json(std::move(text))}};
}

/// Supplies that the site names; nothing is known of others.
Json supplies_json(const View& view) {
  Json list = Json::array();
  const std::vector<engine::SupplyStatus>& supplies = view.live->status.supplies;
  for (std::size_t i = 0; i < supplies.size(); ++i) {
    if (!view.plan->controllers[i].supply) continue;
    list.push_back(supply_json(*view.plan, i, supplies[i]));
  }
  return list;
}

Json controller_json(const View& view, std::size_t index, Counters counters) {
  ControllerState state = controller_state(view, index);
  Json text = nullptr;
  if (state.text) text = std::move(*state.text);
  return {{"name", view.plan->controllers[index].name},
          {"state", state.state},
          {"errors", counters == Counters::kTold ? state.errors : 0},
          {"text", std::move(text)}};
}

Json lateness_json(const io::Live& live) {
  Json frames = Json::array();
  for (const LateStep& step : late_steps(live.lateness)) {
    Json up_to = nullptr;
    if (step.up_to_ms) up_to = *step.up_to_ms;
    frames.push_back({{"up_to_ms", std::move(up_to)}, {"frames", step.frames}});
  }
  return {{"most_ms", in_milliseconds(live.latest)}, {"frames", std::move(frames)}};
}

}  // namespace

std::string problems_body(const base::Problems& problems) {
  Json list = Json::array();
  for (const base::Problem& problem : problems) {
    list.push_back(
        {{"where", problem.where}, {"message", problem.what}, {"remedy", problem.remedy}});
  }
  return body_of({{"problems", std::move(list)}});
}

std::string site_body(const View& view) {
  const engine::Plan& plan = *view.plan;
  Json props = Json::array();
  for (std::size_t i = 0; i < plan.props.size(); ++i) props.push_back(prop_json(plan, i));
  Json controllers = Json::array();
  for (const auto& controller : plan.controllers)
    controllers.push_back(controller_json(controller));
  Json walk = Json::array();
  for (const std::size_t prop : plan.walk) walk.push_back(plan.props[prop]->name);
  return body_of(
      {{"site", plan.site},
       {"practice", view.shown != nullptr},
       {"props", std::move(props)},
       {"controllers", std::move(controllers)},
       {"walk", std::move(walk)},
       {"notes", strings(view.notes)},
       {"unwatched_minutes",
        rounded(std::chrono::duration<double, std::ratio<60>>(plan.unwatched).count(), 1e3)}});
}

std::string patterns_body(const engine::Plan& plan) {
  Json list = Json::array();
  for (const pattern::PatternDescription& pattern : plan.patterns) {
    list.push_back({{"pattern", pattern.name},
                    {"purpose", pattern.purpose},
                    {"look_for", pattern.look_for},
                    {"catches", strings(pattern.catches)}});
  }
  return body_of({{"patterns", std::move(list)}});
}

std::string light_body(const View& view, Layout layout, Counters counters) {
  const engine::Status& status = view.live->status;
  // What was asked is said while it is lit; in the dark nothing is to be looked for.
  const engine::Look* const look = status.mode == engine::Mode::kLit ? view.look : nullptr;
  Json json = {{"mode", word_of(status.mode)},
               {"pattern", nullptr},
               {"region", nullptr},
               {"level", nullptr},
               {"look_for", nullptr},
               {"by_hand", status.by_hand},
               {"notes", Json::array()}};
  if (look != nullptr) {
    json["pattern"] = look->pattern;
    if (!look->region.empty()) json["region"] = look->region;
    json["level"] = share_of(look->asked.share());
    if (const auto* pattern = view.plan->find_pattern(look->pattern)) {
      json["look_for"] = pattern->look_for;
    }
    json["notes"] = strings(look->notes);
  }
  Json props = Json::array();
  for (std::size_t i = 0; i < view.plan->props.size(); ++i) props.push_back(lit_json(view, i));
  json["props"] = std::move(props);
  json["held"] = held_json(view);
  json["frames_held"] = status.frames_held;
  json["supplies"] = supplies_json(view);
  Json controllers = Json::array();
  for (std::size_t i = 0; i < view.plan->controllers.size(); ++i) {
    controllers.push_back(controller_json(view, i, counters));
  }
  json["controllers"] = std::move(controllers);
  json["network_troubles"] = network_troubles(view);
  if (counters == Counters::kTold) {
    json["packets"] = view.live->errors.packets;
    json["frames"] = status.frames;
    json["missed_frames"] = view.live->missed;
    json["dropped_packets"] = view.live->errors.dropped;
    json["late"] = lateness_json(*view.live);
    json["priority"] = io::to_text(view.live->granted);
  }
  json["logbook"] = view.newest_entry;
  json["site_read"] = view.site_read;
  return text_of(json, layout) + (layout == Layout::kIndented ? "\n" : "");
}

std::string asked_body(std::string_view what) { return body_of({{"asked", what}}); }

std::string step_body(std::string_view go) { return body_of({{"asked", "step"}, {"go", go}}); }

std::string look_body(const engine::Plan& plan, const engine::Look& look) {
  Json props = Json::array();
  for (const engine::Look::Lit& lit : look.lit) {
    props.push_back({{"prop", plan.props[lit.prop]->name}, {"level", share_of(lit.level.share())}});
  }
  Json region = nullptr;
  if (!look.region.empty()) region = look.region;
  Json look_for = nullptr;
  if (const auto* pattern = plan.find_pattern(look.pattern)) look_for = pattern->look_for;
  return body_of({{"asked", "light"},
                  {"pattern", look.pattern},
                  {"region", std::move(region)},
                  {"level", share_of(look.asked.share())},
                  {"look_for", std::move(look_for)},
                  {"props", std::move(props)},
                  {"notes", strings(look.notes)}});
}

}  // namespace panewalk::web
