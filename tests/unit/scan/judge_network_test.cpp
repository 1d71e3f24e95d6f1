#include <gtest/gtest.h>

#include "packets.hpp"
#include "told.hpp"

namespace panewalk::scan {
namespace {

using test::told;
using test::Wire;

std::string findings(const Wire& wire) { return told(judge(wire.report())); }

constexpr const char* kCheckNetwork =
    "That is in order if nobody else sends and no Art-Net node is there. Else: is this the right "
    "network card? Does a firewall here let UDP ports 5568 and 6454 in? Does the network carry "
    "multicast and broadcast? Wi-Fi access points often don't.\n";

TEST(JudgeNetwork, Silence) {
  Wire wire;
  EXPECT_EQ(findings(wire), std::string{"nothing, seen, trouble\n"
                                        "Nothing at all was heard from anybody else.\n"} +
                                kCheckNetwork);
  wire.heard.echo(test::kNode);
  EXPECT_EQ(findings(wire), std::string{"nothing, seen\n"
                                        "No E1.31 and no Art-Net was heard from anybody else.\n"} +
                                kCheckNetwork);
  wire.artnet(test::art_poll(), 0);
  EXPECT_EQ(findings(wire), "");
}

TEST(JudgeNetwork, NothingOfWhatIsListedComesByMulticast) {
  Wire wire;
  wire.e131(test::discovery({.universes = {2, 3, 9}}), 0);
  EXPECT_EQ(findings(wire),
            "multicast_unheard, possible, trouble: 2 3\n"
            "\"quay desk\" says that it sends universes 2 and 3, but nothing of them came by "
            "multicast.\n"
            "Either it sends to one receiver alone (unicast), which is in order, or the network "
            "holds multicast back: a switch with IGMP snooping and no IGMP querier, or a Wi-Fi "
            "access point. Switch a querier on, or the snooping off.\n");
}

TEST(JudgeNetwork, SomeOfWhatIsListedComesByMulticast) {
  Wire wire;
  wire.e131(test::discovery({.universes = {1, 2}}), 0);
  wire.e131(test::data({.universe = 1}), 0);
  EXPECT_EQ(findings(wire),
            "multicast_unheard, possible: 2\n"
            "\"quay desk\" says that it sends universe 2, but nothing of it came by multicast, "
            "though others of its universes did: it sends to one receiver alone there.\n");
}

TEST(JudgeNetwork, AllThatIsListedComesOrSynchronizes) {
  Wire wire;
  wire.e131(test::discovery({.universes = {1, 2, 3}}), 0);
  wire.e131(test::data({.universe = 1, .sync = 2}), 0);
  wire.e131(test::sync(3, 0), 0);
  EXPECT_EQ(findings(wire), "");
}

TEST(JudgeNetwork, OneCidFromTwoAddresses) {
  Wire wire;
  wire.e131(test::data({.universe = 1}), 0);
  wire.e131(test::data({.universe = 1}), 0, {10, 0, 0, 8});
  wire.e131(test::data({.universe = 2}), 0, {10, 0, 0, 7});
  EXPECT_EQ(findings(wire),
            "shared_cid, possible, trouble: 1\n"
            "\"quay desk\" sends universe 1 from 10.0.0.8 and 10.0.0.9 with one CID.\n"
            "That is one machine with several network cards, or several with copied settings, "
            "which receivers take for one: give each its own CID.\n");
}

TEST(JudgeNetwork, OurCidFromAnotherMachine) {
  Wire wire;
  wire.e131(test::data({.cid = test::kOwnCid}), 0, test::kHere);
  wire.e131(test::data({.cid = test::kOwnCid}), 0);
  EXPECT_EQ(told(judge(wire.report()), {Kind::kSharedCid}),
            "shared_cid, seen, trouble\n"
            "Another machine, 10.0.0.9, sends with the CID of this installation.\n"
            "Its state folder is a copy of this one: delete the CID there, and a new one is "
            "made.\n");
}

TEST(JudgeNetwork, LossesFromFiveAndOnePerCentOn) {
  Wire wire;
  for (int i = 0; i < 500; ++i) {
    if (i % 100 == 50) continue;
    wire.e131(test::data({.universe = 2, .sequence = static_cast<std::uint8_t>(i % 256)}), 25 * i);
  }
  EXPECT_EQ(findings(wire),
            "losses, seen, trouble: 2\n"
            "Of what \"quay desk\" at 10.0.0.9 sends, 1.0 % got lost on the way to this machine by "
            "eth0 (universe 2).\n"
            "Wi-Fi loses multicast first: use a cable. On a cable look for a slow or full link.\n");
  Wire few;
  for (const std::uint8_t sequence : std::vector<std::uint8_t>{0, 5})
    few.e131(test::data({.sequence = sequence}), 0);
  EXPECT_EQ(findings(few), "");
}

TEST(JudgeNetwork, ArtNetLossesAndJumps) {
  Wire wire;
  for (const std::uint8_t sequence : std::vector<std::uint8_t>{1, 7, 240})
    wire.artnet(test::dmx(10, sequence), 0);
  EXPECT_EQ(findings(wire),
            "losses, seen, trouble: 10\n"
            "Of what 10.0.0.9 sends, 62.5 % got lost on the way to this machine by eth0 "
            "(Port-Address 10).\n"
            "Wi-Fi loses multicast first: use a cable. On a cable look for a slow or full link.\n"
            "jumps, possible, trouble: 10\n"
            "The packet numbers of 10.0.0.9 jump back (1 time by eth0, Port-Address 10).\n"
            "It began anew, or two programs there send the same.\n");
}

}  // namespace
}  // namespace panewalk::scan
