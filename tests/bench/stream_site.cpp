#include "bench/stream_site.hpp"

#include <sys/socket.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <iostream>

#include "io/socket_address.hpp"
#include "support/plans.hpp"

namespace panewalk::bench {
namespace {

/// Faster than any, so that a chain of thousands follows 40 frames a second; packets don't know.
constexpr double kFastChips = 16e6;

pattern::PatternDescription tide() {
  using pattern::ColourName;
  pattern::PatternDescription pattern;
  pattern.name = "tide";
  pattern::PulseStep step;
  step.paint.target = "all";
  step.paint.by = pattern::By::kPixel;
  step.paint.colours = {ColourName::kWhite, ColourName::kOrange, ColourName::kCyan,
                        ColourName::kMagenta, ColourName::kYellow};
  step.period = std::chrono::seconds{2};
  pattern.steps.push_back({.action = step, .hold = std::nullopt, .say = ""});
  return pattern;
}

pattern::PatternDescription white_tide() {
  pattern::PatternDescription pattern = tide();
  pattern.name = "white-tide";
  std::get<pattern::PulseStep>(pattern.steps.front().action).paint.colours = {
      pattern::ColourName::kWhite};
  return pattern;
}

/// As patterns/chase.json has it.
pattern::PatternDescription chase() {
  pattern::PatternDescription pattern;
  pattern.name = "chase";
  pattern::MoveStep step;
  step.paint.target = "all";
  step.tail = 3;
  step.pixels_per_second = 5;
  pattern.steps.push_back({.action = step, .hold = std::nullopt, .say = ""});
  return pattern;
}

}  // namespace

std::shared_ptr<const engine::Plan> site_of(const Size& size) {
  std::vector<patch::ControllerDescription> controllers;
  std::vector<test::LineOf> lines;
  std::size_t universe = 1;
  for (std::size_t i = 0; i < size.destinations; ++i) {
    auto controller = test::e131_controller("bench-" + std::to_string(i + 1));
    controller.address.host = {127, 0, static_cast<std::uint8_t>(1 + i / 200),
                               static_cast<std::uint8_t>(1 + i % 200)};
    controller.address.multicast = size.multicast;
    if (size.every_frame) controller.unchanged = patch::Unchanged::kEveryFrame;
    // Named, so that the level limiter works; large, so that it has nothing to hold back.
    controller.supply =
        patch::Supply{.volts = base::Volts::of(12), .amps = base::Amps::of(1'000'000)};
    controllers.push_back(controller);
    const std::size_t share =
        (i + 1) * size.universes / size.destinations - i * size.universes / size.destinations;
    lines.push_back({.name = "line-" + std::to_string(i + 1),
                     .pixels = static_cast<int>(share * kPixelsPerUniverse),
                     .controller = i,
                     .universe = static_cast<std::int64_t>(universe),
                     .bits_per_second = kFastChips});
    universe += share;
  }
  auto plan = test::plan_of(std::move(controllers), lines);
  plan->patterns = {tide(), white_tide(), chase()};
  return plan;
}

std::unique_ptr<engine::Engine> engine_of(const std::shared_ptr<const engine::Plan>& plan) {
  return std::make_unique<engine::Engine>(
      plan, engine::Identity{.cid = *packet::Cid::from_text("1b4e28ba-2fa1-41d2-883f-0016d3cca427"),
                             .source_name = packet::SourceName::from("stream benchmark").value(),
                             .reroute = {}});
}

std::shared_ptr<const engine::Look> look_of(const engine::Plan& plan, const std::string& pattern) {
  return std::make_shared<const engine::Look>(
      engine::compose(
          plan, {.props = plan.prop_names(), .pattern = pattern, .level = light::Level::of(1)})
          .value());
}

Deaf::Deaf(const engine::Plan& plan) {
  constexpr int kLittle = 4096;
  for (const patch::ControllerDescription& controller : plan.controllers) {
    if (controller.address.multicast) continue;
    io::Handle socket{::socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0)};
    ::setsockopt(socket.get(), SOL_SOCKET, SO_RCVBUF, &kLittle, sizeof kLittle);
    const sockaddr_in at = io::to_sockaddr(controller.address.host, controller.address.port);
    if (::bind(socket.get(), reinterpret_cast<const sockaddr*>(&at), sizeof at) != 0) {
      std::cerr << "stream_benchmark: no receiver: " << std::strerror(errno) << "\n";
      std::exit(1);
    }
    sockets_.push_back(std::move(socket));
  }
}

}  // namespace panewalk::bench
