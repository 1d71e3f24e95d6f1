#include <gtest/gtest.h>

#include "packets.hpp"

namespace panewalk::scan {
namespace {

using Numbers = std::vector<std::uint16_t>;
using test::Wire;

TEST(HeardArtNet, KeepsWhatANodeSaysOfItself) {
  Wire wire;
  wire.artnet(support::golden("artnet/poll_reply.hex"), 100, test::kNode, test::kHere);
  const Report report = wire.report();
  ASSERT_EQ(report.nodes.size(), 1U);
  const ArtNode& node = report.nodes[0];
  EXPECT_EQ(node.from, (Ipv4{10, 0, 0, 20}));
  EXPECT_EQ(node.ip, (Ipv4{127, 0, 0, 1}));
  EXPECT_EQ(node.card, "eth0");
  EXPECT_EQ(node.port_name, "slipway");
  EXPECT_EQ(node.long_name, "slipway west");
  EXPECT_EQ(node.node_report, "#0001 [0007] ok");
  EXPECT_EQ(node.mac, (std::array<std::uint8_t, 6>{0x02, 0x00, 0x5e, 0x10, 0x20, 0x30}));
  EXPECT_EQ(node.version, 1);
  EXPECT_EQ(node.oem, 0x00ff);
  EXPECT_EQ(node.esta_manufacturer, 0x7ff0);
  EXPECT_EQ(node.style, 0);
  EXPECT_TRUE(node.long_addresses);
  EXPECT_EQ(node.replies, 1U);
  // GoodOutputA 0x80: data is sent; 0x82: and merging would be by the latest.
  ASSERT_EQ(node.outputs.size(), 2U);
  EXPECT_EQ(node.outputs[0], (ArtNode::Output{.port_address = 0x0123, .sending = true}));
  EXPECT_EQ(node.outputs[1],
            (ArtNode::Output{.port_address = 0x0124, .sending = true, .latest = true}));
  EXPECT_EQ(node.inputs, (Numbers{}));
}

TEST(HeardArtNet, ReadsTheOtherBitsOfOutputsAndInputs) {
  Wire wire;
  auto reply = test::reply({.outputs = {10, 11, 12}, .good = {0x08, 0x04, 0x01}});
  reply[176] = 0x40;  // PortTypes of the third: input
  reply[188] = 0x0d;  // SwIn
  wire.artnet(reply, 0, test::kNode);
  const ArtNode node = wire.report().nodes[0];
  ASSERT_EQ(node.outputs.size(), 2U);
  EXPECT_EQ(node.outputs[0], (ArtNode::Output{.port_address = 10, .merging = true}));
  EXPECT_EQ(node.outputs[1], (ArtNode::Output{.port_address = 11, .shorted = true}));
  EXPECT_EQ(node.inputs, (Numbers{13}));
}

TEST(HeardArtNet, KeepsEachPageOfANodeAndItsLastWord) {
  Wire wire;
  wire.artnet(test::reply({.outputs = {10, 11}, .bind_index = 1}), 0, test::kNode);
  wire.artnet(test::reply({.outputs = {12}, .bind_index = 2}), 1, test::kNode);
  wire.artnet(test::reply({.outputs = {10}, .report = "#0001 later", .bind_index = 1}), 2,
              test::kNode);
  const Report report = wire.report();
  ASSERT_EQ(report.nodes.size(), 2U);
  EXPECT_EQ(report.nodes[0].node_report, "#0001 later");
  EXPECT_EQ(report.nodes[0].replies, 2U);
  EXPECT_EQ(report.nodes[0].outputs.size(), 1U);
  EXPECT_EQ(report.nodes[1].outputs[0].port_address, 12);
}

TEST(HeardArtNet, CountsLevelsByPortAddressAndSender) {
  Wire wire;
  for (const int sequence : {254, 255, 1, 4}) {
    wire.artnet(test::dmx(0x0123, static_cast<std::uint8_t>(sequence)), sequence % 254 * 25);
  }
  wire.artnet(test::dmx(0x0123, 0), 200, {10, 0, 0, 8}, test::kHere);
  const Report report = wire.report();
  ASSERT_EQ(report.art_streams.size(), 2U);
  const ArtStream& first = report.art_streams[0];
  EXPECT_EQ(first.port_address, 0x0123);
  EXPECT_EQ(first.from, (Ipv4{10, 0, 0, 8}));
  EXPECT_EQ(first.unnumbered, 1U);
  EXPECT_EQ(first.ways, (Ways{.unicast = 1}));
  const ArtStream& second = report.art_streams[1];
  EXPECT_EQ(second.card, "eth0");
  EXPECT_EQ(second.slots, 2);
  EXPECT_EQ(second.unnumbered, 0U);
  EXPECT_EQ(second.ways, (Ways{.broadcast = 4}));
  EXPECT_EQ(second.counts.packets, 4U);
  EXPECT_EQ(second.counts.lost, 2U);
  EXPECT_FALSE(second.own);
}

TEST(HeardArtNet, CountsWhoAsksAndSynchronizes) {
  Wire wire;
  wire.artnet(test::art_poll(), 0);
  wire.artnet(test::art_poll(), 2500);
  wire.artnet(test::art_sync(), 2501);
  wire.artnet(test::art_poll(), 0, test::kHere);
  const Report report = wire.report();
  ASSERT_EQ(report.callers.size(), 2U);
  EXPECT_EQ(report.callers[0].from, (Ipv4{10, 0, 0, 5}));
  EXPECT_TRUE(report.callers[0].own);
  EXPECT_EQ(report.callers[0].polls, 1U);
  EXPECT_FALSE(report.callers[1].own);
  EXPECT_EQ(report.callers[1].polls, 2U);
  EXPECT_EQ(report.callers[1].syncs, 1U);
}

TEST(HeardArtNet, HearsNobodyInItsOwnQuestions) {
  Wire wire;
  wire.artnet(test::art_poll(), 0, test::kHere);
  wire.artnet(test::dmx(1, 1), 0, test::kHere);
  EXPECT_FALSE(wire.report().heard_anything());
}

TEST(HeardArtNet, CountsOtherKindsAndWhatItCantRead) {
  Wire wire;
  wire.artnet(support::hex("41 72 74 2d 4e 65 74 00 00 97 00 0e 00 00 00 00 00 00 00"), 0);
  wire.artnet(support::hex("41 72 74"), 1);
  const Report report = wire.report();
  EXPECT_EQ(report.other_artnet, 1U);
  ASSERT_EQ(report.strangers.size(), 1U);
  EXPECT_EQ(report.strangers[0].port, 6454);
  EXPECT_EQ(report.strangers[0].packets, 1U);
}

TEST(HeardArtNet, KeepsHowAHostShowedThatItIsThere) {
  Wire wire;
  wire.heard.echo(test::kNode);
  wire.heard.refused(test::kNode, 6454);
  wire.heard.refused(test::kNode, 5568);
  wire.heard.refused(test::kNode, 6454);
  wire.heard.unreachable({10, 0, 0, 7});
  const Report report = wire.report();
  ASSERT_EQ(report.hosts.size(), 2U);
  EXPECT_EQ(report.hosts[0].address, (Ipv4{10, 0, 0, 7}));
  EXPECT_TRUE(report.hosts[0].unreachable);
  EXPECT_FALSE(report.hosts[0].echoed);
  EXPECT_TRUE(report.hosts[1].echoed);
  EXPECT_EQ(report.hosts[1].refused, (Numbers{5568, 6454}));
}

}  // namespace
}  // namespace panewalk::scan
