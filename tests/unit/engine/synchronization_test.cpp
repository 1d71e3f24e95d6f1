#include "engine/synchronization.hpp"

#include <optional>

#include "support/hex.hpp"
#include "unit/engine/ticking.hpp"

// Receivers that hold what they get are told when to show it.
namespace panewalk::engine {
namespace {

class SynchronizationTest : public EngineTest {
 protected:
  void site(patch::Protocol protocol, patch::Address address, std::uint16_t universe) {
    std::vector<patch::ControllerDescription> controllers;
    for (const char* name : {"left", "right", "free"}) {
      auto controller = protocol == patch::Protocol::kE131 ? test::e131_controller(name)
                                                           : test::artnet_controller(name);
      if (address.multicast) {
        controller.address.multicast = true;
      } else {
        controller.address.host[3] = static_cast<std::uint8_t>(controllers.size() + 1);
      }
      if (controllers.size() < 2) controller.sync = patch::Sync{.universe = universe};
      controllers.push_back(controller);
    }
    make(test::plan_of(controllers,
                       {{.name = "gate", .pixels = 4, .universe = 1},
                        {.name = "shed", .pixels = 4, .controller = 1, .universe = 2},
                        {.name = "pier", .pixels = 4, .controller = 2, .universe = 3}}));
  }
  /// "127.0.0.1 data 1, …": where each packet goes, what it is, and its sequence.
  std::string told(std::span<const OutPacket> packets) {
    std::string text;
    for (const OutPacket& packet : packets) {
      const Destination& to = engine_->destinations()[packet.destination];
      text += text.empty() ? "" : ", ";
      text += std::to_string(to.host[0]) + "…" + std::to_string(to.host[2]) + "." +
              std::to_string(to.host[3]) + (to.broadcast ? " (broadcast) " : " ") +
              what(packet.bytes);
    }
    return text;
  }
  static std::string what(std::span<const std::uint8_t> bytes) {
    if (const auto e131 = packet::decode_e131(bytes)) {
      if (const auto* data = std::get_if<packet::E131Data>(&e131.value())) {
        const std::string held =
            data->sync_address ? " held for " + std::to_string(data->sync_address->value()) : "";
        return std::to_string(data->universe.value()) + held +
               (data->options.force_synchronization ? " or run on" : "") +
               (data->options.stream_terminated ? " the end" : "");
      }
      if (const auto* sync = std::get_if<packet::E131Sync>(&e131.value())) {
        return "show " + std::to_string(sync->address.value()) + " #" +
               std::to_string(sync->sequence.value());
      }
      return "discovery";
    }
    const auto artnet = packet::decode_artnet(bytes);
    if (!artnet) return "neither";
    return std::holds_alternative<packet::ArtSync>(artnet.value()) ? "ArtSync" : "ArtDmx";
  }
};

TEST_F(SynchronizationTest, FollowsTheLevelsToEachReceiverByUnicast) {
  site(patch::Protocol::kE131, {}, 7962);
  light({.props = {"gate"}, .pattern = "red"}, kStart);
  EXPECT_EQ(told(engine_->tick(kStart)),
            "127…0.1 1 held for 7962 or run on, 127…0.2 2 held for 7962 or run on, 127…0.3 3, "
            "239…250.214 discovery");
  EXPECT_EQ(told(engine_->synchronization()), "127…0.1 show 7962 #0, 127…0.2 show 7962 #0");
  static_cast<void>(engine_->tick(kStart + 25ms));
  EXPECT_EQ(told(engine_->synchronization()), "127…0.1 show 7962 #1, 127…0.2 show 7962 #1");
}

TEST_F(SynchronizationTest, GoesToItsOwnGroupByMulticast) {
  // 7962 is 0x1f1a: 239.255.31.26 (E1.31-2018 §9.3.1, §6.3.3.1).
  site(patch::Protocol::kE131, {.multicast = true}, 7962);
  light({.props = {"gate"}, .pattern = "red"}, kStart);
  static_cast<void>(engine_->tick(kStart));
  EXPECT_EQ(told(engine_->synchronization()), "239…31.26 show 7962 #0");
}

TEST_F(SynchronizationTest, IsTheWholePacketOfTheStandard) {
  site(patch::Protocol::kE131, {}, 7962);
  light({.props = {"gate"}, .pattern = "red"}, kStart);
  static_cast<void>(engine_->tick(kStart));
  // E1.31-2018 Table 4-2, with our CID.
  const auto octets = engine_->synchronization().front().bytes;
  EXPECT_EQ(support::to_hex({octets.begin(), octets.end()}),
            "00 10 00 00 41 53 43 2d 45 31 2e 31 37 00 00 00 70 21 00 00 00 08 1b 4e 28 ba 2f a1 "
            "41 d2 88 3f 00 16 d3 cc a4 27 70 0b 00 00 00 01 00 1f 1a 00 00");
}

TEST_F(SynchronizationTest, IsBroadcastWithArtNet) {
  site(patch::Protocol::kArtNet, {}, 0);
  light({.props = {"gate"}, .pattern = "red"}, kStart);
  EXPECT_EQ(told(engine_->tick(kStart)), "127…0.1 ArtDmx, 127…0.2 ArtDmx, 127…0.3 ArtDmx");
  // The sender finds that both have one broadcast address.
  EXPECT_EQ(told(engine_->synchronization()),
            "127…0.1 (broadcast) ArtSync, 127…0.2 (broadcast) ArtSync");
}

TEST_F(SynchronizationTest, IsSentOnlyWhereLevelsWere) {
  site(patch::Protocol::kE131, {}, 7962);
  light({.props = {"gate"}, .pattern = "red"}, kStart);
  int with_levels = 0;
  int with_synchronization = 0;
  for (Duration at{}; at < 3s; at += 25ms) {
    bool levels = false;
    for (const OutPacket& packet : engine_->tick(kStart + at)) {
      const auto data = packet::decode_e131_data(packet.bytes);
      levels = levels || (data && data.value().sync_address);
    }
    with_levels += levels ? 1 : 0;
    with_synchronization += engine_->synchronization().empty() ? 0 : 1;
    EXPECT_EQ(levels, !engine_->synchronization().empty());
  }
  EXPECT_EQ(with_levels, with_synchronization);
  EXPECT_LT(with_levels, 40);  // most frames are as the one before
}

TEST_F(SynchronizationTest, EndsEachRoundOfAFarewell) {
  site(patch::Protocol::kE131, {}, 7962);
  light({.props = {"gate"}, .pattern = "red"}, kStart);
  static_cast<void>(engine_->tick(kStart));
  EXPECT_EQ(told(engine_->farewell(0)),
            "127…0.1 1 held for 7962 or run on, 127…0.2 2 held for 7962 or run on, 127…0.3 3, "
            "127…0.1 show 7962 #1, 127…0.2 show 7962 #1");
  EXPECT_EQ(told(engine_->farewell(1)),
            "127…0.1 1 held for 7962 or run on the end, 127…0.2 2 held for 7962 or run on the end, "
            "127…0.3 3 the end, 127…0.1 show 7962 #2, 127…0.2 show 7962 #2");
}

TEST_F(SynchronizationTest, IsSilentAfterARelease) {
  site(patch::Protocol::kE131, {}, 7962);
  light({.props = {"gate"}, .pattern = "red"}, kStart);
  static_cast<void>(engine_->tick(kStart));
  engine_->release();
  for (Duration at = 25ms; at <= 100ms; at += 25ms) {
    static_cast<void>(engine_->tick(kStart + at));
    EXPECT_EQ(engine_->synchronization().size(), 2U);
  }
  static_cast<void>(engine_->tick(kStart + 125ms));
  EXPECT_TRUE(engine_->synchronization().empty());
}

TEST_F(SynchronizationTest, IsListedByDiscovery) {
  // E1.31-2018 §8.5: all data and synchronization universes.
  site(patch::Protocol::kE131, {}, 7962);
  light({.props = {"gate"}, .pattern = "red"}, kStart);
  const Sent sent = tick(0ms);
  ASSERT_EQ(sent.discovery.size(), 1U);
  const packet::UniverseList& listed = sent.discovery.front().universes;
  ASSERT_EQ(listed.size(), 4U);
  EXPECT_EQ(listed[3].value(), 7962);
}

}  // namespace
}  // namespace panewalk::engine
