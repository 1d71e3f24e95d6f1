#include <gtest/gtest.h>

#include "packet/artnet.hpp"
#include "packet/e131.hpp"
#include "support/hex.hpp"

// The octets of tests/golden are typed from the tables of E1.31-2018 and Art-Net 4, the fields
// below from the comments there. Neither comes from the code under test.
namespace panewalk::packet {
namespace {

using support::Bytes;
using support::golden;
using support::to_hex;

const Cid kCid = Cid::of({0x1b, 0x4e, 0x28, 0xba, 0x2f, 0xa1, 0x41, 0xd2, 0x88, 0x3f, 0x00, 0x16,
                          0xd3, 0xcc, 0xa4, 0x27});

Universe universe(std::int64_t number) { return Universe::from(number).value(); }
PortAddress port(std::int64_t number) { return PortAddress::from(number).value(); }

template <class Packet>
void expect_both_ways(const Packet& fields, const Bytes& octets) {
  Bytes out(2000, 0xee);
  const auto size = encode(fields, out);
  ASSERT_TRUE(size);
  out.resize(*size);
  EXPECT_EQ(to_hex(out), to_hex(octets));

  if constexpr (requires { E131Packet{fields}; }) {
    const auto decoded = decode_e131(octets);
    ASSERT_TRUE(decoded) << to_text(decoded.error());
    EXPECT_TRUE(decoded.value() == E131Packet{fields});
  } else {
    const auto decoded = decode_artnet(octets);
    ASSERT_TRUE(decoded) << to_text(decoded.error());
    EXPECT_TRUE(decoded.value() == ArtNetPacket{fields});
  }
  for (std::size_t less = 0; less < octets.size(); ++less) {
    EXPECT_EQ(encode(fields, std::span{out}.first(less)), std::nullopt) << less;
  }
}

TEST(E131Golden, DataOf6SlotsTerminated) {
  const Bytes slots{0, 1, 2, 3, 4, 5};
  const Bytes octets = golden("e131/data_6_slots_terminated.hex");
  ASSERT_EQ(octets.size(), 132U);
  expect_both_ways(E131Data{.cid = kCid,
                            .source = SourceName::from("oracle source").value(),
                            .priority = Priority::from(100).value(),
                            .sequence = Sequence::of(0),
                            .options = {.stream_terminated = true},
                            .universe = universe(1),
                            .slots = slots},
                   octets);
}

TEST(E131Golden, DataOf510Slots) {
  Bytes slots;
  for (int pixel = 0; pixel < 170; ++pixel) slots.insert(slots.end(), {0xff, 0x00, 0x7f});
  const Bytes octets = golden("e131/data_510_slots.hex");
  ASSERT_EQ(octets.size(), 636U);
  expect_both_ways(E131Data{.cid = kCid,
                            .source = SourceName::from("boathouse \xe2\x9a\x93").value(),
                            .priority = Priority::from(101).value(),
                            .sync_address = universe(7962),
                            .sequence = Sequence::of(7),
                            .options = {.force_synchronization = true},
                            .universe = universe(258),
                            .slots = slots},
                   octets);
}

TEST(E131Golden, DataOf512SlotsWithAnotherStartCode) {
  Bytes slots;
  for (int slot = 0; slot < 512; ++slot) slots.push_back(static_cast<std::uint8_t>(slot % 256));
  const Bytes octets = golden("e131/data_512_slots.hex");
  ASSERT_EQ(octets.size(), 638U);
  expect_both_ways(E131Data{.cid = kCid,
                            .source = SourceName::from(std::string(63, 'x')).value(),
                            .priority = Priority::from(200).value(),
                            .sequence = Sequence::of(255),
                            .options = {.preview = true},
                            .universe = universe(63999),
                            .start_code = 0xdd,
                            .slots = slots},
                   octets);
}

TEST(E131Golden, Sync) {
  const Bytes octets = golden("e131/sync.hex");
  ASSERT_EQ(octets.size(), 49U);
  expect_both_ways(E131Sync{.cid = kCid, .sequence = Sequence::of(255), .address = universe(7962)},
                   octets);
}

TEST(E131Golden, Discovery) {
  E131Discovery packet{.cid = kCid, .source = SourceName::from("oracle source").value()};
  for (const int number : {1, 2, 7962}) ASSERT_TRUE(packet.universes.append(universe(number)));
  const Bytes octets = golden("e131/discovery.hex");
  ASSERT_EQ(octets.size(), 126U);
  expect_both_ways(packet, octets);
}

TEST(ArtNetGolden, DmxOf2Slots) {
  const Bytes slots{1, 2};
  const Bytes octets = golden("artnet/dmx_2_slots.hex");
  ASSERT_EQ(octets.size(), 20U);
  expect_both_ways(
      ArtDmx{.sequence = ArtSequence::from_octet(255), .port_address = port(0), .slots = slots},
      octets);
}

TEST(ArtNetGolden, DmxOf512Slots) {
  Bytes slots;
  for (int slot = 0; slot < 512; ++slot) slots.push_back(static_cast<std::uint8_t>(slot % 256));
  const Bytes octets = golden("artnet/dmx_512_slots.hex");
  ASSERT_EQ(octets.size(), 530U);
  expect_both_ways(
      ArtDmx{.sequence = ArtSequence::from_octet(1), .port_address = port(0x0123), .slots = slots},
      octets);
}

TEST(ArtNetGolden, Sync) {
  const Bytes octets = golden("artnet/sync.hex");
  ASSERT_EQ(octets.size(), 14U);
  expect_both_ways(ArtSync{}, octets);
}

TEST(ArtNetGolden, Poll) {
  const Bytes octets = golden("artnet/poll.hex");
  ASSERT_EQ(octets.size(), 14U);
  expect_both_ways(ArtPoll{.reply_on_change = true}, octets);
}

TEST(ArtNetGolden, PollTargeted) {
  const Bytes octets = golden("artnet/poll_targeted.hex");
  ASSERT_EQ(octets.size(), 22U);
  expect_both_ways(ArtPoll{.send_diagnostics = true,
                           .diagnostics_unicast = true,
                           .targeted = true,
                           .diagnostics_priority = 0x40,
                           .target = ArtPoll::Target{port(0x0123), port(0x0120)},
                           .product = ArtPoll::Product{.esta_manufacturer = 0x7ff0, .oem = 0x00ff}},
                   octets);
}

TEST(ArtNetGolden, PollReply) {
  const ArtPollReply reply{.ip = {127, 0, 0, 1},
                           .port = 6454,
                           .version = 1,
                           .net_switch = 1,
                           .sub_switch = 2,
                           .oem = 0x00ff,
                           .status1 = 0xd0,
                           .esta_manufacturer = 0x7ff0,
                           .port_name = Text<18>::from("slipway").value(),
                           .long_name = Text<64>::from("slipway west").value(),
                           .node_report = Text<64>::from("#0001 [0007] ok").value(),
                           .ports = 2,
                           .port_types = {0x80, 0x80, 0, 0},
                           .good_input = {8, 8, 8, 8},
                           .good_output_a = {0x80, 0x82, 0, 0},
                           .sw_out = {3, 4, 0, 0},
                           .acn_priority = 100,
                           .sw_macro = 1,
                           .sw_remote = 2,
                           .mac = {0x02, 0x00, 0x5e, 0x10, 0x20, 0x30},
                           .bind_ip = {127, 0, 0, 2},
                           .bind_index = 1,
                           .status2 = 8,
                           .good_output_b = {0xc0, 0xc0, 0, 0},
                           .status3 = 0x20,
                           .default_resp_uid = {0x7f, 0xf0, 0, 0, 0, 1},
                           .user = 0x1234,
                           .refresh_rate = 44,
                           .background_queue_policy = 5};
  const Bytes octets = golden("artnet/poll_reply.hex");
  ASSERT_EQ(octets.size(), 239U);
  expect_both_ways(reply, octets);
  EXPECT_EQ(reply.output(0), port(0x0123));
  EXPECT_EQ(reply.output(1), port(0x0124));
  EXPECT_EQ(reply.output(2), std::nullopt);
}

}  // namespace
}  // namespace panewalk::packet
