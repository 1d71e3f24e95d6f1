#pragma once

#include <algorithm>
#include <bitset>
#include <map>
#include <memory>
#include <utility>
#include <variant>
#include <vector>

#include "engine/engine.hpp"
#include "law.hpp"
#include "packet/artnet.hpp"
#include "packet/e131.hpp"

/// What an engine must keep, whatever the plan and the pattern.
namespace panewalk::fuzz {

/// A pixel has one index and an index has one pixel.
inline void hold_permutation(const prop::Frame& frame, const wiring::PixelMap& map) {
  hold(map.size() == frame.pixel_count(), "the map has every pixel of the frame");
  std::vector<bool> seen(frame.stations().size());
  for (std::size_t i = 1; i <= map.size(); ++i) {
    const auto pixel = base::PixelIndex::of(i);
    const base::StationIndex station = map.station_of(pixel);
    hold(station.value() < seen.size() && !seen[station.value()], "each station comes once");
    hold(frame[station].carries_pixel, "an empty place has no index");
    hold(map.pixel_of(station) == pixel, "the map is the same both ways");
    seen[station.value()] = true;
  }
}

/// Which channels of which universes the props of a plan take.
class Channels {
 public:
  explicit Channels(const engine::Plan& plan) : plan_{plan} {
    for (const patch::PropPatch& prop : plan.patch.props) {
      const std::size_t components = prop.order().channels();
      for (std::size_t slot = 0; slot < prop.chips(); ++slot) {
        for (std::size_t i = 0; i < components; ++i) {
          const patch::Channel at = prop.channel_of(slot, i);
          hold(at.channel >= 1 && at.channel <= 512, "a channel is one of a universe's 512");
          auto& taken = taken_[{prop.controller(), at.universe}];
          hold(!taken[at.channel - 1U], "no channel is taken twice");
          taken[at.channel - 1U] = true;
        }
      }
    }
  }

  /// Decodes as what it is, and lights nothing beside the props. True where anything is lit.
  bool hold_packet(const engine::Destination& to, std::span<const std::uint8_t> bytes) const {
    if (to.controller && plan_.controllers[*to.controller].protocol == patch::Protocol::kArtNet) {
      const auto decoded = packet::decode_artnet(bytes);
      hold(decoded.ok(), "our Art-Net is Art-Net");
      const auto* dmx = std::get_if<packet::ArtDmx>(&decoded.value());
      return dmx != nullptr && hold_slots(*to.controller, dmx->port_address.value(), dmx->slots);
    }
    const auto decoded = packet::decode_e131(bytes);
    hold(decoded.ok() || is_art_sync(bytes), "our E1.31 is E1.31");
    if (!decoded) return false;
    const auto* data = std::get_if<packet::E131Data>(&decoded.value());
    if (data == nullptr) return false;
    hold(to.controller.has_value(), "levels go to a controller");
    hold(data->start_code == 0, "levels have START code 0");
    return hold_slots(*to.controller, data->universe.value(), data->slots);
  }

 private:
  static bool is_art_sync(std::span<const std::uint8_t> bytes) {
    return packet::decode_art_sync(bytes).ok();
  }
  bool hold_slots(std::size_t controller, std::uint16_t universe,
                  std::span<const std::uint8_t> slots) const {
    const auto found = taken_.find({controller, universe});
    hold(found != taken_.end(), "only universes of the site are sent");
    bool lit = false;
    for (std::size_t i = 0; i < slots.size(); ++i) {
      if (slots[i] == 0) continue;
      hold(found->second[i], "only channels of the props are lit");
      lit = true;
    }
    return lit;
  }

  const engine::Plan& plan_;
  std::map<std::pair<std::size_t, std::uint16_t>, std::bitset<512>> taken_;
};

/// Lights, ticks three times and goes dark; lights again and says farewell.
inline void hold_engine(std::shared_ptr<const engine::Plan> plan, engine::Look look) {
  const Channels channels{*plan};
  engine::Engine engine{plan,
                        {.cid = packet::Cid::of({1, 2, 3}),
                         .source_name = packet::SourceName::from("fuzz").value(),
                         .reroute = {}}};
  const auto hold_all = [&](std::span<const engine::OutPacket> packets) {
    bool lit = false;
    for (const engine::OutPacket& packet : packets) {
      hold(packet.destination < engine.destinations().size(), "a packet has a destination");
      lit = channels.hold_packet(engine.destinations()[packet.destination], packet.bytes) || lit;
    }
    return lit;
  };
  base::Instant now{std::chrono::seconds{1}};
  engine.start(now);
  auto asked = std::make_shared<const engine::Look>(std::move(look));
  auto again = asked;
  const auto play = [&](int ticks) {
    for (int i = 0; i < ticks; ++i) {
      now = std::max(now, engine.next_tick());
      hold_all(engine.tick(now));
      hold_all(engine.synchronization());
      now += std::chrono::milliseconds{700};
    }
  };
  engine.light(asked, now);
  play(3);
  engine::Status status = engine.make_status();
  engine.report(status);
  for (const engine::SupplyStatus& supply : status.supplies) {
    hold(supply.factor >= 0 && supply.factor <= 1, "a limiter only dims");
  }
  engine.dark();
  hold(!hold_all(engine.tick(std::max(now, engine.next_tick()))), "dark is dark");
  // After the dark it would be black whatever it does.
  engine.light(again, now);
  play(2);
  for (int round = 0; round < engine::Engine::kFarewellRounds; ++round) {
    hold(!hold_all(engine.farewell(round)), "a farewell is dark");
  }
}

}  // namespace panewalk::fuzz
