#pragma once

#include <gtest/gtest.h>

#include <cerrno>
#include <memory>
#include <string>
#include <vector>

#include "support/frames.hpp"
#include "web/api.hpp"

/// A site of two small props, and the light on it as a test wants to see it.
namespace panewalk::test {

inline void hang(engine::Plan& plan, engine::PlannedProp prop, const std::string& route) {
  auto map = wiring::read_route(prop.frame, {.route = {route}});
  if (!map) ADD_FAILURE() << lines(map.error());
  prop.map = std::move(map).value();
  plan.props.push_back(std::make_unique<const engine::PlannedProp>(std::move(prop)));
}

/// "oar-rack": 4 pixels in a line, wired from its far end, at most half bright. "lantern": 2 RGBW
/// pixels.
inline std::shared_ptr<engine::Plan> boathouse() {
  auto plan = std::make_shared<engine::Plan>();
  plan->site = "boathouse";
  plan->controllers = {{.name = "bench",
                        .address = {.host = {192, 0, 2, 7}, .port = 5568},
                        .supply = patch::Supply{base::Volts::of(12), base::Amps::of(5)}},
                       {.name = "jetty",
                        .protocol = patch::Protocol::kArtNet,
                        .address = {.host = {192, 0, 2, 8}, .port = 6455},
                        .frames_per_second = 25,
                        .channels_per_universe = 512}};
  hang(*plan,
       {.name = "oar-rack",
        .about = "Over the rack by the door",
        .frame = frame_of(prop::LineShape{.from = at(0, 0), .to = at(300, 0), .stations = 4}),
        .format = {.order = light::ColourOrder::from("GRB").value()},
        .placement = {.controller = "bench", .universe = 3, .channel = 7},
        .cap = light::Level::of(0.5),
        .place = at(1250, -400)},
       "B A");
  hang(*plan,
       {.name = "lantern",
        .frame = frame_of(prop::LineShape{.from = at(0, 0), .to = at(0, 80), .stations = 2}),
        .format = {.order = light::ColourOrder::from("RGBW").value()},
        .placement = {.controller = "jetty", .universe = 0},
        .turned = true},
       "A B");
  std::vector<patch::PatchedProp> patched;
  for (const auto& prop : plan->props) {
    patched.push_back({.name = prop->name,
                       .map = &prop->map,
                       .format = prop->format,
                       .placement = prop->placement});
  }
  auto patch = patch::assign(plan->controllers, patched);
  if (!patch) ADD_FAILURE() << lines(patch.error());
  plan->patch = std::move(patch).value();
  plan->walk = {1, 0};
  plan->patterns = {{.name = "steady",
                     .purpose = "Light it all",
                     .look_for = "Every pixel is white.",
                     .catches = {"a dark pixel", "a colour that is missing"},
                     .steps = {{.action = pattern::LightStep{{{.target = "all"}}}}}},
                    {.name = "one-each",
                     .purpose = "Find a pixel by its number",
                     .look_for = "One pixel after the other.",
                     .catches = {},
                     .steps = {{.action = pattern::OneByOneStep{{.target = "pixels"}}}}}};
  return plan;
}

/// What a handler looks at, held together.
struct Scene {
  std::shared_ptr<const engine::Plan> plan = boathouse();
  io::Live live = silent(*plan);
  std::optional<engine::Look> look = std::nullopt;
  bool lit_asked = false;
  std::vector<std::vector<light::Colour>> shown = {};  ///< by prop and station; empty: no practice
  std::shared_ptr<const io::NetworkWatch::Seen> network = nullptr;
  bool has_ways = false;  ///< to the bench by eth0, to the jetty none
  std::vector<std::string> notes = {"site.json:3:5: /walk: jetty is dark at night"};

  static io::Live silent(const engine::Plan& plan) {
    io::Live live;
    live.status.props.resize(plan.props.size());
    live.status.supplies.resize(plan.controllers.size());
    live.status.supplies[0].most = base::Amps::of(5);
    live.status.sent = light::Canvas{plan.pixel_counts()};
    return live;
  }

  [[nodiscard]] web::View view() const {
    web::View view{.plan = plan.get(),
                   .look = look ? &*look : nullptr,
                   .live = &live,
                   .lit_asked = lit_asked,
                   .notes = notes};
    if (!shown.empty()) {
      view.shown = [this](std::size_t prop) { return shown[prop]; };
    }
    view.network = network;
    if (has_ways) view.way_to = way_to;
    return view;
  }

  static base::Result<io::WayOut, int> way_to(const io::Host& host,
                                              const std::optional<std::string>& /*interface*/) {
    if (host != io::Host{192, 0, 2, 7}) return ENETUNREACH;
    return io::WayOut{.card = "eth0", .address = {192, 0, 2, 1}};
  }
};

/// "one-each" on both props, in practice; the limiters at work, and the jetty unplugged.
inline Scene lit_scene() {
  Scene scene;
  auto look = engine::compose(
      *scene.plan,
      {.props = {"lantern", "oar-rack"}, .pattern = "one-each", .level = light::Level::of(0.8)});
  if (!look) ADD_FAILURE() << lines(look.error());
  scene.look = std::move(look).value();
  scene.look->notes = {"lantern: has no corner"};
  scene.lit_asked = true;

  engine::Status& status = scene.live.status;
  status.mode = engine::Mode::kLit;
  status.look = 1;
  status.by_hand = true;
  status.at = base::Instant{std::chrono::milliseconds{90'340}};
  status.frames = 812;
  status.frames_held = 5;
  status.props[0] = {.lit = true, .beat = 2};
  status.props[1] = {.lit = true, .beat = 1, .waits = true};
  status.supplies[0] = {
      .asked = base::Amps::of(12.3456), .most = base::Amps::of(5), .factor = 0.405};
  status.held = light::Held{.reason = light::Held::Reason::kFlash,
                            .prop = 0,
                            .since = base::Instant{std::chrono::milliseconds{90'100}}};
  status.sent.prop(0)[2] = {.red = 255, .green = 128, .blue = 1};
  status.sent.prop(1)[1] = {.red = 0, .green = 10, .blue = 0, .white = 204};
  // By station: A, B, then those between. The oar rack is wired from B.
  const light::Colour black = light::kBlack;
  scene.shown = {{black, {.blue = 15}, {.red = 255, .green = 128, .blue = 1}, black},
                 {black, black}};
  scene.live.missed = 3;
  scene.live.latest = std::chrono::microseconds{60'250};
  for (int i = 0; i < 809; ++i) scene.live.lateness.add(std::chrono::microseconds{90});
  scene.live.lateness.add(std::chrono::milliseconds{2});
  scene.live.lateness.add(scene.live.latest);
  scene.live.granted = {.realtime = true, .locked = true};
  scene.live.errors.dropped = 2;
  scene.live.errors.packets = 1640;
  scene.live.errors.failing.count = 1;
  scene.live.errors.failing.first[0] = {
      .destination = 1,
      .controller = 1,
      .host = {192, 0, 2, 8},
      .port = 6455,
      .state = {.packets = 800, .dropped = 2, .errors = 9, .error = EHOSTUNREACH}};
  return scene;
}

/// Somebody else sends the bench's universe, and the jetty fails.
inline Scene network_scene() {
  Scene scene = lit_scene();
  scene.shown.clear();
  scene.has_ways = true;
  auto seen = std::make_shared<io::NetworkWatch::Seen>();
  seen->report.ended = base::Instant{std::chrono::seconds{12}};
  seen->report.asked.cards = {{.name = "eth0", .address = {192, 0, 2, 1}}};
  seen->report.hosts = {{.address = {192, 0, 2, 7}, .echoed = true, .refused = {}}};
  seen->findings = {{.kind = scan::Kind::kAnswers, .controller = "bench", .what = "It answered."},
                    {.kind = scan::Kind::kNotAsked, .controller = "jetty", .what = "Not asked."},
                    {.kind = scan::Kind::kTaken,
                     .sure = scan::Sure::kLikely,
                     .trouble = true,
                     .controller = "bench",
                     .universes = {3},
                     .what = "\"quay\" sends it too.",
                     .next = "Stop it."}};
  scene.network = std::move(seen);
  return scene;
}

}  // namespace panewalk::test
