#pragma once

#include <gtest/gtest.h>

#include <array>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "engine/engine.hpp"
#include "io/udp_receiver.hpp"
#include "support/frames.hpp"

/// A small site on loopback, and what its packets say.
namespace panewalk::test {

struct SmallSite {
  int pixels = 10;
  int universes = 1;  ///< one prop each
  int rate = 40;
};

inline std::shared_ptr<const engine::Plan> plan_of(const SmallSite& site, std::uint16_t port) {
  auto plan = std::make_shared<engine::Plan>();
  plan->site = "boathouse";
  plan->controllers = {{.name = "bench",
                        .address = {.host = {127, 0, 0, 1}, .port = port},
                        .frames_per_second = site.rate}};
  std::vector<patch::PatchedProp> patched;
  for (int i = 0; i < site.universes; ++i) {
    prop::Frame frame =
        frame_of(prop::LineShape{.from = at(0, 0), .to = at(2000, 0), .stations = site.pixels});
    auto map = wiring::read_route(frame, {.route = {"A B"}});
    if (!map) ADD_FAILURE() << lines(map.error());
    plan->props.push_back(std::make_unique<const engine::PlannedProp>(
        engine::PlannedProp{.name = "eaves-" + std::to_string(i + 1),
                            .frame = std::move(frame),
                            .map = std::move(map).value(),
                            .placement = {.controller = "bench", .universe = i + 1}}));
    const engine::PlannedProp& prop = *plan->props.back();
    patched.push_back({.name = prop.name, .map = &prop.map, .placement = prop.placement});
  }
  auto patch = patch::assign(plan->controllers, patched);
  if (!patch) ADD_FAILURE() << lines(patch.error());
  plan->patch = std::move(patch).value();
  plan->patterns = {
      {.name = "all-white",
       .steps = {{.action = pattern::LightStep{{{.target = "all"}}}, .hold = std::nullopt}}},
      {.name = "walk", .steps = {{.action = pattern::MoveStep{{.target = "all"}}}}}};
  return plan;
}

/// Discovery goes to the same port: no test sends multicast.
inline std::unique_ptr<engine::Engine> engine_of(const std::shared_ptr<const engine::Plan>& plan) {
  const patch::Address& to = plan->controllers[0].address;
  return std::make_unique<engine::Engine>(
      plan, engine::Identity{.cid = packet::Cid::of({1, 2, 3}),
                             .source_name = packet::SourceName::from("Panewalk test").value(),
                             .reroute = {{.host = to.host, .port = to.port}}});
}

/// An engine that would send by a network card that no machine has (RFC 5737).
inline std::unique_ptr<engine::Engine> engine_without_a_card() {
  const auto plan = std::const_pointer_cast<engine::Plan>(plan_of({}, 9));
  plan->controllers[0].interface = "192.0.2.1";
  return std::make_unique<engine::Engine>(
      plan, engine::Identity{.cid = packet::Cid::of({1, 2, 3}), .source_name = {}, .reroute = {}});
}

inline std::shared_ptr<const engine::Look> look_of(const engine::Plan& plan,
                                                   const std::string& pattern) {
  auto look = engine::compose(
      plan, {.props = plan.prop_names(), .pattern = pattern, .level = light::Level::of(1)});
  if (!look) ADD_FAILURE() << lines(look.error());
  return std::make_shared<const engine::Look>(std::move(look).value());
}

/// One E1.31 data packet; offsets by E1.31-2018 Table 4-1.
struct Heard {
  int universe = 0;
  int sequence = 0;
  bool terminated = false;
  int first_slot = 0;
};

/// "T" terminated, "B" black, "L" lit.
inline char letter_of(const Heard& heard) {
  if (heard.terminated) return 'T';
  return heard.first_slot == 0 ? 'B' : 'L';
}

/// Waits for E1.31 packets on a free loopback port.
class Listener {
 public:
  Listener() : receiver_{open()} {}
  [[nodiscard]] std::uint16_t port() const { return receiver_.port(); }

  /// The next data packet, discovery left out; nothing after `most`.
  std::optional<Heard> next(base::Duration most = std::chrono::seconds{10}) {
    constexpr std::size_t kRootVector = 21;
    constexpr std::uint8_t kRootData = 4;
    while (const auto got = receiver_.receive(buffer_, most)) {
      const auto& bytes = got->bytes;
      if (bytes.size() < 127 || bytes[kRootVector] != kRootData) continue;
      return Heard{.universe = bytes[113] << 8U | bytes[114],
                   .sequence = bytes[111],
                   .terminated = (bytes[112] & 0x40U) != 0,
                   .first_slot = bytes[126]};
    }
    return std::nullopt;
  }
  /// Packets until one shows this in its first slot and is (not) terminated.
  std::optional<Heard> until(int first_slot, bool terminated) {
    for (int i = 0; i < 2000; ++i) {
      const auto heard = next();
      if (!heard || (heard->first_slot == first_slot && heard->terminated == terminated)) {
        return heard;
      }
    }
    return std::nullopt;
  }
  /// The letters of what is there to hear until nothing comes for
  /// `silence`.
  std::string rest(base::Duration silence = std::chrono::milliseconds{100}) {
    std::string told;
    while (const auto heard = next(silence)) told += letter_of(*heard);
    return told;
  }

 private:
  static io::UdpReceiver open() {
    auto receiver = io::UdpReceiver::open({});
    if (!receiver) ADD_FAILURE() << lines(receiver.error());
    return std::move(receiver).value();
  }
  io::UdpReceiver receiver_;
  std::array<std::uint8_t, 1500> buffer_{};
};

}  // namespace panewalk::test
