#include <gtest/gtest.h>

#include <algorithm>

#include "packets.hpp"
#include "site.hpp"
#include "told.hpp"

namespace panewalk::scan {
namespace {

using test::told;
using test::Wire;

std::string rivals(const Wire& wire) {
  return told(judge(wire.report(), *test::site()), {Kind::kTaken, Kind::kOffByOneSender});
}

/// What is told of a sender of universe 2 with these options.
std::string rival(const test::Data& data, std::optional<Ipv4> to = Ipv4{239, 255, 0, 2}) {
  Wire wire;
  wire.e131(test::data(data), 0, test::kDesk, to);
  return rivals(wire);
}

TEST(JudgeRivals, HigherPriorityWins) {
  EXPECT_EQ(rival({.universe = 2, .priority = 120}),
            "taken, seen, trouble, bench: 2\n"
            "\"quay desk\" at 10.0.0.9 sends universe 2 of controller bench too by eth0. It wins: "
            "its priority is 120, the site's 100.\n"
            "Stop it, or give the two different universes, or set the priorities so that the "
            "right one wins.\n");
}

TEST(JudgeRivals, LowerPriorityLosesWhileTheSiteSends) {
  EXPECT_EQ(rival({.universe = 2, .priority = 99}),
            "taken, seen, trouble, bench: 2\n"
            "\"quay desk\" at 10.0.0.9 sends universe 2 of controller bench too by eth0. The site "
            "wins: its priority is 100, theirs 99. Where the site is silent, theirs shows.\n"
            "Stop it, or give the two different universes, or set the priorities so that the "
            "right one wins.\n");
}

TEST(JudgeRivals, EqualPriorityIsForTheReceiverToDecide) {
  EXPECT_EQ(rival({.universe = 2}),
            "taken, seen, trouble, bench: 2\n"
            "\"quay desk\" at 10.0.0.9 sends universe 2 of controller bench too by eth0. Both "
            "have priority 100: what shows depends on the receiver. Most take the higher of the "
            "two levels, channel by channel; some keep to the one that came first; some flicker.\n"
            "Stop it, or give the two different universes, or set the priorities so that the "
            "right one wins.\n");
}

TEST(JudgeRivals, APreviewLightsNothing) {
  EXPECT_EQ(rival({.universe = 2, .options = 0x80}),
            "taken, seen, bench: 2\n"
            "\"quay desk\" at 10.0.0.9 sends universe 2 of controller bench too by eth0. It is "
            "marked as a preview, which receivers must not light.\n");
}

TEST(JudgeRivals, APriorityForEachChannelIsTold) {
  EXPECT_EQ(rival({.universe = 2, .start_code = 0xdd}),
            "taken, seen, trouble, bench: 2\n"
            "\"quay desk\" at 10.0.0.9 sends universe 2 of controller bench too by eth0. It also "
            "sends a priority for each channel; receivers that know these go by them.\n"
            "Stop it, or give the two different universes, or set the priorities so that the "
            "right one wins.\n");
}

TEST(JudgeRivals, WhatComesToThisMachineAloneMayGoNowhereElse) {
  EXPECT_EQ(rival({.universe = 2, .name = "", .priority = 120}, test::kHere),
            "taken, possible, trouble, bench: 2\n"
            "A source without a name at 10.0.0.9 sends universe 2 of controller bench too by "
            "eth0. It wins: its priority is 120, the site's 100. It came to this machine alone; "
            "whether it goes to the controller too can't be heard from here.\n"
            "Stop it, or give the two different universes, or set the priorities so that the "
            "right one wins.\n");
}

TEST(JudgeRivals, WhatEndedAndWhatIsOursIsNone) {
  EXPECT_EQ(rival({.universe = 2, .options = 0x40}), "");
  EXPECT_EQ(rival({.universe = 2, .cid = test::kOwnCid}), "");
  EXPECT_EQ(rival({.universe = 7}), "");
}

TEST(JudgeRivals, AnotherProgramOfThisMachineIsNamedSo) {
  Wire wire;
  wire.e131(test::data({.universe = 2, .priority = 120}), 0, test::kHere);
  EXPECT_EQ(rivals(wire),
            "taken, seen, trouble, bench: 2\n"
            "\"quay desk\" at 10.0.0.5 (this machine) sends universe 2 of controller bench too by "
            "eth0. It wins: its priority is 120, the site's 100.\n"
            "Stop it, or give the two different universes, or set the priorities so that the "
            "right one wins.\n");
}

TEST(JudgeRivals, AllUniversesOfOneSenderAreOneFinding) {
  Wire wire;
  for (const std::uint16_t u : std::vector<std::uint16_t>{1, 2, 3, 4})
    wire.e131(test::data({.universe = u}), 0);
  const auto findings = judge(wire.report(), *test::site());
  EXPECT_EQ(findings[2].universes, (std::vector<std::uint16_t>{1, 2, 3}));
  EXPECT_EQ(findings[2].kind, Kind::kTaken);
  EXPECT_EQ(rivals(wire).find("off_by_one"), std::string::npos);
}

TEST(JudgeRivals, ArtNetNodesMerge) {
  Wire wire;
  wire.artnet(test::dmx(10, 1), 0);
  wire.artnet(test::dmx(11, 1), 0);
  EXPECT_EQ(rivals(wire),
            "taken, seen, trouble, yard: 10 11\n"
            "Somebody at 10.0.0.9 sends Port-Addresses 10 and 11 of controller yard too by eth0. "
            "A node merges two senders, by the higher level or by the latest packet, as it is "
            "set; a third one it leaves out.\n"
            "Stop it, or give the two different Port-Addresses.\n");
}

TEST(JudgeRivals, ArtNetFromThisMachineMayBeOurselves) {
  Wire wire;
  wire.artnet(test::dmx(10, 1), 0, test::kHere);
  EXPECT_EQ(rivals(wire),
            "taken, seen, yard: 10\n"
            "This machine (10.0.0.5) sends Port-Address 10 of controller yard too by eth0. A node "
            "merges two senders, by the higher level or by the latest packet, as it is set; a "
            "third one it leaves out.\n"
            "Art-Net names no program: this is Panewalk itself, or another program here.\n");
}

TEST(JudgeRivals, OneBelowOrAboveIsOffByOne) {
  Wire wire;
  wire.artnet(test::dmx(9, 1), 0);
  wire.artnet(test::dmx(10, 1), 0);
  EXPECT_EQ(rivals(wire),
            "taken, seen, trouble, yard: 10\n"
            "Somebody at 10.0.0.9 sends Port-Address 10 of controller yard too by eth0. A node "
            "merges two senders, by the higher level or by the latest packet, as it is set; a "
            "third one it leaves out.\n"
            "Stop it, or give the two different Port-Addresses.\n"
            "off_by_one_sender, likely, trouble, yard: 10 11\n"
            "Somebody at 10.0.0.9 sends Port-Addresses 9 and 10 by eth0; the site has "
            "Port-Addresses 10 and 11 for controller yard.\n"
            "If both are meant for the same lights, one of them counts from 0 (as Art-Net does) "
            "and the other from 1 (as E1.31 does): compare with the numbers in the controller.\n");
  Wire above;
  for (const std::uint16_t u : std::vector<std::uint16_t>{2, 3, 4, 5})
    above.e131(test::data({.universe = u}), 0);
  const auto findings = judge(above.report(), *test::site());
  EXPECT_EQ(told(findings[3]),
            "off_by_one_sender, possible, trouble, bench: 1 2 3\n"
            "\"quay desk\" at 10.0.0.9 sends universes 2 to 5 by eth0; the site has universes 1 "
            "to 3 for controller bench.\n"
            "If both are meant for the same lights, one of them counts from 0 (as Art-Net does) "
            "and the other from 1 (as E1.31 does): compare with the numbers in the controller.\n");
}

TEST(JudgeRivals, TheNumberOfAnotherControllerIsNotOffByOne) {
  const auto site = panewalk::test::plan_of(
      {panewalk::test::e131_controller("bench"), panewalk::test::e131_controller("jetty")},
      {{.name = "gate", .pixels = 10, .controller = 0, .universe = 1},
       {.name = "quay", .pixels = 10, .controller = 1, .universe = 2}});
  Wire wire;
  wire.e131(test::data({.universe = 2}), 0);
  const auto findings = judge(wire.report(), *site);
  const auto count = [&findings](Kind kind) {
    return std::count_if(findings.begin(), findings.end(),
                         [kind](const Finding& finding) { return finding.kind == kind; });
  };
  EXPECT_EQ(count(Kind::kTaken), 1);
  EXPECT_EQ(count(Kind::kOffByOneSender), 0);
}

TEST(JudgeRivals, AFloodOfSendersIsNoFloodOfFindings) {
  Wire wire;
  for (std::uint8_t n = 0; n < 200; ++n) wire.artnet(test::dmx(10, 1), 0, {172, 16, 0, n});
  const auto findings = judge(wire.report(), *test::site());
  EXPECT_EQ(findings.size(), 2U + 16U + 1U);
  EXPECT_EQ(told(findings.back()),
            "taken, seen, trouble, yard\n"
            "Besides these, 184 more senders concern controller yard.\n");
}

}  // namespace
}  // namespace panewalk::scan
