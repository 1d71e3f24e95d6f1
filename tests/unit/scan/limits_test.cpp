#include <gtest/gtest.h>

#include "packets.hpp"

// Floods that go past each limit: what is beyond is counted, what was there stays.
namespace panewalk::scan {
namespace {

using test::Wire;

constexpr Ipv4 nth(std::size_t n) {
  return {172, 16, static_cast<std::uint8_t>(n >> 8U), static_cast<std::uint8_t>(n & 0xffU)};
}

support::Bytes from_cid(support::Bytes packet, std::size_t n) {
  test::put16(packet, 35, static_cast<std::uint16_t>(n));
  return packet;
}

TEST(Limits, SourcesAre256) {
  Wire wire;
  for (std::size_t n = 0; n < 300; ++n) wire.e131(from_cid(test::data({}), n), 0);
  for (std::size_t n = 0; n < 300; ++n) wire.e131(from_cid(test::data({}), n), 1);
  const Report report = wire.report();
  EXPECT_EQ(report.sources.size(), 256U);
  EXPECT_EQ(report.sources[255].streams[0].counts.packets, 2U);
  EXPECT_EQ(report.beyond, (Beyond{.sources = 88}));
  EXPECT_EQ(report.beyond.all(), 88U);
}

TEST(Limits, UniversesOfASourceAre2048AndOfAllSources8192) {
  Wire wire;
  for (std::size_t n = 0; n < 5; ++n) {
    for (std::uint16_t u = 1; u <= 2050; ++u) {
      wire.e131(from_cid(test::data({.universe = u}), n), 0);
    }
  }
  const Report report = wire.report();
  ASSERT_EQ(report.sources.size(), 5U);
  EXPECT_EQ(report.sources[0].streams.size(), 2048U);
  EXPECT_EQ(report.sources[3].streams.size(), 2048U);
  EXPECT_EQ(report.sources[4].streams.size(), 0U);
  EXPECT_EQ(report.beyond, (Beyond{.streams = 2058}));
}

TEST(Limits, AddressesOfASourceAre16) {
  Wire wire;
  for (std::size_t n = 0; n < 20; ++n) wire.e131(test::data({}), 0, nth(n));
  const Report report = wire.report();
  EXPECT_EQ(report.sources[0].addresses.size(), 16U);
  EXPECT_EQ(report.sources[0].streams.size(), 20U);
}

TEST(Limits, DiscoveryListsAre8192OfASourceAnd32768OfAll) {
  Wire wire;
  for (std::size_t n = 0; n < 5; ++n) {
    for (std::size_t page = 0; page < 17; ++page) {
      test::Listing listing{.page = static_cast<std::uint8_t>(page), .last_page = 16};
      for (std::size_t u = 0; u < 512; ++u) {
        listing.universes.push_back(static_cast<std::uint16_t>(1 + page * 512 + u));
      }
      wire.e131(from_cid(test::discovery(listing), n), 0);
    }
  }
  const Report report = wire.report();
  EXPECT_EQ(report.sources[0].listed.size(), 8192U);
  EXPECT_FALSE(report.sources[0].list_complete);
  EXPECT_EQ(report.sources[3].listed.size(), 8192U);
  EXPECT_EQ(report.sources[4].listed.size(), 0U);
  EXPECT_EQ(report.beyond, (Beyond{.listed = 21}));
  EXPECT_EQ(groups_to_join(wire.heard, nullptr).size(), 1024U);
}

TEST(Limits, ARepeatedListTakesNoMoreRoom) {
  Wire wire;
  for (int i = 0; i < 1000; ++i) {
    test::Listing listing{.page = static_cast<std::uint8_t>(i % 2), .last_page = 1};
    for (std::uint16_t u = 1; u <= 512; ++u) listing.universes.push_back(u);
    wire.e131(test::discovery(listing), i);
  }
  EXPECT_EQ(wire.report().beyond, Beyond{});
  EXPECT_TRUE(wire.report().sources[0].list_complete);
}

TEST(Limits, SynchronizationAddressesAre256) {
  Wire wire;
  for (std::uint16_t u = 1; u <= 260; ++u) wire.e131(test::sync(u, 0), 0);
  EXPECT_EQ(wire.report().syncs.size(), 256U);
  EXPECT_EQ(wire.report().beyond, (Beyond{.syncs = 4}));
}

TEST(Limits, NodesAre512) {
  Wire wire;
  for (std::size_t n = 0; n < 520; ++n) wire.artnet(test::reply({.outputs = {1}}), 0, nth(n));
  EXPECT_EQ(wire.report().nodes.size(), 512U);
  EXPECT_EQ(wire.report().beyond, (Beyond{.nodes = 8}));
}

TEST(Limits, ArtDmxStreamsAre4096) {
  Wire wire;
  for (std::uint16_t p = 0; p < 4100; ++p) wire.artnet(test::dmx(p, 1), 0);
  EXPECT_EQ(wire.report().art_streams.size(), 4096U);
  EXPECT_EQ(wire.report().beyond, (Beyond{.art_streams = 4}));
}

TEST(Limits, CallersAre256AndHosts1024AndStrangers32) {
  Wire wire;
  for (std::size_t n = 0; n < 1030; ++n) {
    wire.artnet(n % 2 == 0 ? test::art_poll() : test::art_sync(), 0, nth(n % 260));
    wire.artnet(support::hex("00"), 0, nth(n % 40));
    wire.heard.echo(nth(n));
  }
  const Report report = wire.report();
  EXPECT_EQ(report.callers.size(), 256U);
  EXPECT_EQ(report.strangers.size(), 32U);
  EXPECT_EQ(report.hosts.size(), 1024U);
  // 1030 = 3 x 260 + 250 = 25 x 40 + 30.
  EXPECT_EQ(report.beyond, (Beyond{.callers = 12, .hosts = 6, .strangers = 200}));
}

TEST(Limits, CardsAre64AndRefusedPorts8) {
  Wire wire;
  for (int n = 0; n < 70; ++n) {
    const std::string card = "card" + std::to_string(n);
    const auto poll = test::art_poll();
    wire.heard.take_artnet({.bytes = poll, .from = test::kDesk, .card = card});
    wire.heard.refused(test::kNode, static_cast<std::uint16_t>(n + 1));
  }
  const Report report = wire.report();
  EXPECT_EQ(report.callers.size(), 65U);
  EXPECT_EQ(report.callers[0].card, "");
  EXPECT_EQ(report.callers[0].polls, 6U);
  EXPECT_EQ(report.hosts[0].refused.size(), 8U);
}

}  // namespace
}  // namespace panewalk::scan
