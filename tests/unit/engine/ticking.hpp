#pragma once

#include <gtest/gtest.h>

#include "engine/engine.hpp"
#include "packet/artnet.hpp"
#include "packet/e131.hpp"
#include "support/plans.hpp"

/// An engine of a small site, and what it puts on the wire.
namespace panewalk::engine {

using namespace std::chrono_literals;
using test::LineOf;

inline constexpr Instant kStart{};

inline Identity who() {
  const auto cid = packet::Cid::from_text("1b4e28ba-2fa1-41d2-883f-0016d3cca427");
  return {
      .cid = *cid, .source_name = packet::SourceName::from("test source").value(), .reroute = {}};
}

/// What one tick put on the wire, decoded.
struct Sent {
  std::vector<packet::E131Data> data;
  std::vector<packet::ArtDmx> artnet;
  std::vector<packet::E131Discovery> discovery;
  std::vector<std::uint32_t> destinations;
};

inline Sent decode(std::span<const OutPacket> packets) {
  Sent sent;
  for (const OutPacket& packet : packets) {
    sent.destinations.push_back(packet.destination);
    if (const auto artnet = packet::decode_art_dmx(packet.bytes)) {
      sent.artnet.push_back(artnet.value());
      continue;
    }
    const auto e131 = packet::decode_e131(packet.bytes);
    if (!e131) {
      ADD_FAILURE() << "neither E1.31 nor Art-Net";
      continue;
    }
    if (const auto* data = std::get_if<packet::E131Data>(&e131.value())) sent.data.push_back(*data);
    if (const auto* found = std::get_if<packet::E131Discovery>(&e131.value())) {
      sent.discovery.push_back(*found);
    }
  }
  return sent;
}

class EngineTest : public testing::Test {
 protected:
  void make(std::shared_ptr<Plan> plan) {
    plan->patterns = {test::steady("white", pattern::ColourName::kWhite),
                      test::steady("red", pattern::ColourName::kRed), test::walk_one_by_one()};
    plan_ = std::move(plan);
    engine_ = std::make_unique<Engine>(plan_, who());
    engine_->start(kStart);
  }
  void light(const LightAsked& asked, Instant now) {
    auto look = std::make_shared<const Look>(compose(*plan_, asked).value());
    engine_->light(look, now);
  }
  Sent tick(Duration at) { return decode(engine_->tick(kStart + at)); }
  /// Frames up to `until`, 25 ms apart, and what the last one sent.
  Sent run(Duration from, Duration until) {
    Sent last;
    for (Duration at = from; at <= until; at += 25ms) last = tick(at);
    return last;
  }

  std::shared_ptr<Plan> plan_;
  std::unique_ptr<Engine> engine_;
};

}  // namespace panewalk::engine
