#include "scan/text.hpp"

#include <gtest/gtest.h>

#include <sstream>

#include "packets.hpp"
#include "site.hpp"

namespace panewalk::scan {
namespace {

using test::Wire;

std::string text(const Wire& wire) {
  const Report report = wire.report();
  return as_text(report, judge(report));
}

TEST(Text, WhenNothingIsHeard) {
  EXPECT_EQ(text(Wire{}), R"(Listened for 12.0 s on eth0 (10.0.0.5), UDP ports 5568 (E1.31) and 6454
(Art-Net). Sent ArtPoll to 10.0.0.255 and a ping to 10.0.0.20. Joined the
multicast groups of 4 E1.31 universes. No level was sent and no setting changed.

To look into
  - Nothing at all was heard from anybody else.
    That is in order if nobody else sends and no Art-Net node is there. Else: is
    this the right network card? Does a firewall here let UDP ports 5568 and
    6454 in? Does the network carry multicast and broadcast? Wi-Fi access points
    often don't.
)");
}

TEST(Text, OfABusyNetworkAndASite) {
  Wire wire;
  for (const std::uint16_t u : std::vector<std::uint16_t>{1, 2})
    wire.stream({.universe = u, .priority = 120}, 401);
  wire.stream({.universe = 6, .options = 0x80, .sync = 7962}, 1);
  wire.e131(test::discovery({.universes = {1, 2, 6, 7962}}), 5000);
  for (std::uint8_t i = 0; i < 5; ++i) wire.e131(test::sync(7962, i), i * 25);
  wire.artnet(test::reply({.outputs = {10, 11}, .good = {0x88, 0x84}}), 900, test::kNode,
              test::kHere);
  std::int64_t ms = 1000;
  for (const std::uint8_t sequence : std::vector<std::uint8_t>{1, 2, 4, 3, 3}) {
    wire.artnet(test::dmx(10, sequence), ms += 100);
  }
  wire.artnet(test::dmx(12, 0), 0);
  wire.artnet(test::art_poll(), 0);
  wire.artnet(test::art_sync(), 0);
  wire.artnet(support::hex("41 72 74"), 1);
  const Report report = wire.report();
  EXPECT_EQ(as_text(report, judge(report, *test::site())),
            R"(Listened for 12.0 s on eth0 (10.0.0.5), UDP ports 5568 (E1.31) and 6454
(Art-Net). Sent ArtPoll to 10.0.0.255 and a ping to 10.0.0.20. Joined the
multicast groups of 4 E1.31 universes. No level was sent and no setting changed.

To look into
  - Controller bench (10.0.0.30) answered no ArtPoll. This may be in order.
    Is it switched on, its cable in, its link light on? Is its address still
    this one (its own page or screen, the router's list)? Is it in the same
    network as this machine? Some controllers answer nothing and light all the
    same.
  - The node of controller yard says that it merges two senders on Port-Address
    10: the higher level wins.
    Find the other sender and stop it, or wait until the node has forgotten it.
  - "quay desk" at 10.0.0.9 sends universes 1 and 2 of controller bench too by
    eth0. It wins: its priority is 120, the site's 100.
    Stop it, or give the two different universes, or set the priorities so that
    the right one wins.
  - Somebody at 10.0.0.9 sends Port-Address 10 of controller yard too by eth0. A
    node merges two senders, by the higher level or by the latest packet, as it
    is set; a third one it leaves out.
    Stop it, or give the two different Port-Addresses.

In order, or only to know
  - Controller yard (10.0.0.20) answered ArtPoll as "slipway west".

E1.31 sources
  "quay desk" at 10.0.0.9
    CID 5a000000-0000-4000-8000-000000000001
    says that it sends universes 1, 2, 6 and 7962 by eth0
    universes 1 and 2 by eth0: 802 packets, 40.0 per second; priority 120,
      multicast
    universe 6 by eth0: 1 packet; priority 100, multicast, synchronized by 7962,
      preview only

E1.31 synchronization
  address 7962 from 10.0.0.9 by eth0: 5 packets, 40.0 per second

Art-Net nodes
  "slipway", "slipway west" at 10.0.0.20 by eth0
    puts out Port-Addresses 10 and 11
    sends data on Port-Addresses 10 and 11
    merges two senders on Port-Address 10
    found a short at power-up on Port-Address 11
    reports "#0001 [0007] ok"

Art-Net levels (ArtDmx)
  10.0.0.9 by eth0: Port-Address 10, 5 packets, 10.0 per second, 1 late, 1
    twice; broadcast
  10.0.0.9 by eth0: Port-Address 12, 1 packet; broadcast, without numbers:
    losses can't be seen

Others that ask or synchronize by Art-Net
  10.0.0.9 by eth0: 1 ArtPoll and 1 ArtSync

Left aside
  1 packet on port 6454 from 10.0.0.9, which is cut short
)");
}

TEST(Text, FitsTheColumnsAndHoldsNoControlCharacterWhateverTheNames) {
  Wire wire;
  const std::string name(63, '\x1b');
  std::string wide;
  for (int i = 0; i < 21; ++i) wide += "\xe6\xb8\xaf";
  wire.e131(test::data({.name = name}), 0);
  wire.e131(test::data({.cid = 2, .name = wide}), 0);
  wire.artnet(test::reply({.outputs = {1}, .name = "\x9b\x9b", .long_name = name, .report = name}),
              0, test::kNode);
  for (const int columns : {0, 40, 80}) {
    const Report report = wire.report();
    std::istringstream lines{as_text(report, judge(report), columns)};
    for (std::string line; std::getline(lines, line);) {
      std::size_t width = 0;
      for (const char letter : line) {
        const auto octet = static_cast<unsigned char>(letter);
        EXPECT_TRUE(octet >= 0x20 && octet != 0x7f);
        if ((octet & 0xc0U) != 0x80U) width += octet >= 0xe6U ? 2 : 1;
      }
      EXPECT_LE(width, static_cast<std::size_t>(std::max(columns, 40))) << line;
    }
  }
}

TEST(Text, TellsFortyOfAKindAndSaysThatThereAreMore) {
  Wire wire;
  for (std::uint8_t cid = 0; cid < 45; ++cid) wire.e131(test::data({.cid = cid}), 0);
  for (std::uint8_t n = 0; n < 50; ++n) wire.artnet(test::dmx(1, 1), 0, {10, 0, 1, n});
  const std::string all = text(wire);
  EXPECT_NE(all.find("\n  and 5 more; --as json has all of them\n"), std::string::npos);
  EXPECT_NE(all.find("\n  and 10 more; --as json has all of them\n"), std::string::npos);
}

TEST(Text, SaysWhatCouldNotBeDone) {
  Report report = Wire{}.report();
  report.asked = {.cards = {},
                  .polled = {},
                  .pinged = {},
                  .groups = {},
                  .troubles = {"no ping: not permitted"}};
  EXPECT_EQ(as_text(report, {}),
            R"(Listened for 12.0 s, UDP ports 5568 (E1.31) and 6454 (Art-Net). Sent nothing. No
level was sent and no setting changed.
Could not do: no ping: not permitted
)");
}

}  // namespace
}  // namespace panewalk::scan
