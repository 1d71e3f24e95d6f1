#include <gtest/gtest.h>

#include "packets.hpp"
#include "site.hpp"
#include "told.hpp"

namespace panewalk::scan {
namespace {

using test::told;
using test::Wire;

const std::vector<Kind> kAboutControllers{Kind::kAnswers, Kind::kRefuses,  Kind::kUnreachable,
                                          Kind::kSilent,  Kind::kNotAsked, Kind::kHere};
const std::vector<Kind> kAboutNodes{Kind::kOffByOneNode, Kind::kNotPutOut, Kind::kMerging};

constexpr Ipv4 kBench{10, 0, 0, 30};

std::string of_controllers(const Report& report, const engine::Plan& plan = *test::site()) {
  return told(judge(report, plan), kAboutControllers);
}

std::string of_nodes(const Wire& wire) {
  return told(judge(wire.report(), *test::site()), kAboutNodes);
}

TEST(JudgeControllers, ThoseThatAnswer) {
  Wire wire;
  wire.artnet(test::reply({.outputs = {10, 11}}), 0, test::kNode);
  wire.heard.echo(kBench);
  EXPECT_EQ(of_controllers(wire.report()),
            "answers, seen, bench\n"
            "Controller bench (10.0.0.30) answered a ping. Whether it takes E1.31, only light can "
            "tell.\n"
            "answers, seen, yard\n"
            "Controller yard (10.0.0.20) answered ArtPoll as \"slipway west\".\n");
}

TEST(JudgeControllers, ThoseThatAreSilent) {
  const Wire wire;
  EXPECT_EQ(of_controllers(wire.report()),
            "silent, possible, trouble, bench\n"
            "Controller bench (10.0.0.30) answered no ArtPoll.\n"
            "Is it switched on, its cable in, its link light on? Is its address still this one "
            "(its own page or screen, the router's list)? Is it in the same network as this "
            "machine? Some controllers answer nothing and light all the same.\n"
            "silent, likely, trouble, yard\n"
            "Controller yard (10.0.0.20) answered neither ArtPoll nor a ping.\n"
            "Is it switched on, its cable in, its link light on? Is its address still this one "
            "(its own page or screen, the router's list)? Is it in the same network as this "
            "machine? Some controllers answer nothing and light all the same.\n");
}

TEST(JudgeControllers, ThoseThatRefuseOrAnswerOnlyAPing) {
  Wire wire;
  wire.heard.refused(test::kNode, 6454);
  wire.heard.refused(kBench, 6454);
  EXPECT_EQ(of_controllers(wire.report()),
            "answers, seen, bench\n"
            "Controller bench (10.0.0.30) is there: it refused Art-Net, which it need not know. "
            "Whether it takes E1.31, only light can tell.\n"
            "refuses, seen, trouble, yard\n"
            "The host of controller yard (10.0.0.20) is there, but nobody in it listens on UDP "
            "port 6454.\n"
            "Look in its settings whether Art-Net is chosen and switched on; or is this address "
            "another device's by now?\n");
  Wire other;
  other.heard.echo(test::kNode);
  other.heard.refused(kBench, 5568);
  EXPECT_EQ(of_controllers(other.report()),
            "refuses, seen, trouble, bench\n"
            "The host of controller bench (10.0.0.30) is there, but nobody in it listens on UDP "
            "port 5568.\n"
            "Look in its settings whether E1.31 (sACN) is chosen and switched on; or is this "
            "address another device's by now?\n"
            "answers, possible, trouble, yard\n"
            "Controller yard (10.0.0.20) answered a ping but no ArtPoll.\n"
            "Look in its settings whether Art-Net is chosen and switched on. Some take Art-Net "
            "without answering ArtPoll.\n");
}

TEST(JudgeControllers, ThoseWithoutAWayOrAnAddressAndThisMachine) {
  Wire wire;
  wire.heard.unreachable(test::kNode);
  auto by_multicast = panewalk::test::e131_controller("loft");
  by_multicast.address = {.multicast = true, .host = {}, .port = 5568};
  const auto plan =
      panewalk::test::plan_of({test::at(panewalk::test::artnet_controller("yard"), test::kNode),
                               by_multicast, panewalk::test::e131_controller("bench")},
                              {});
  EXPECT_EQ(of_controllers(wire.report(), *plan),
            "unreachable, seen, trouble, yard\n"
            "There is no way to controller yard (10.0.0.20) from this machine.\n"
            "Is it switched on and its cable in? Do its address and this machine's lie in one "
            "network (the same first numbers)?\n"
            "not_asked, seen, loft\n"
            "Controller loft is sent to by multicast: it has no address here that could be "
            "asked.\n"
            "here, seen, bench\n"
            "Controller bench (127.0.0.1) is this machine.\n");
}

TEST(JudgeControllers, ThoseThatNobodyAsked) {
  const Wire wire;
  Report report = wire.report();
  report.asked.polled.clear();
  report.asked.pinged.clear();
  EXPECT_EQ(of_controllers(report),
            "not_asked, seen, bench\n"
            "Nothing was asked of controller bench (10.0.0.30), and nothing came from it.\n"
            "not_asked, seen, yard\n"
            "Nothing was asked of controller yard (10.0.0.20), and nothing came from it.\n");
}

TEST(JudgeControllers, ANameFromTheWireCantSteerTheTerminal) {
  Wire wire;
  wire.artnet(test::reply({.outputs = {10, 11}, .long_name = "\x1b[2J\"x"}), 0, test::kNode);
  EXPECT_EQ(told(judge(wire.report(), *test::site())[1]),
            "answers, seen, yard\n"
            "Controller yard (10.0.0.20) answered ArtPoll as \"\\u001b[2J\\\"x\".\n");
}

TEST(JudgeNodes, ThatPutOutWhatTheSiteSends) {
  Wire wire;
  wire.artnet(test::reply({.outputs = {10, 11, 12}}), 0, test::kNode);
  EXPECT_EQ(of_nodes(wire), "");
}

TEST(JudgeNodes, ThatCountFromZero) {
  Wire wire;
  wire.artnet(test::reply({.outputs = {9, 10}}), 0, test::kNode);
  EXPECT_EQ(of_nodes(wire),
            "off_by_one_node, likely, trouble, yard: 10 11\n"
            "The site sends Port-Addresses 10 and 11 to controller yard; the node there puts out "
            "Port-Addresses 9 and 10: one less.\n"
            "Art-Net counts from 0, E1.31 and many settings pages from 1. Write in the site file "
            "what the node puts out, or set the node to what the site sends.\n");
}

TEST(JudgeNodes, ThatCountOneHigher) {
  Wire wire;
  wire.artnet(test::reply({.outputs = {11, 12}}), 0, test::kNode);
  EXPECT_EQ(of_nodes(wire),
            "off_by_one_node, likely, trouble, yard: 10 11\n"
            "The site sends Port-Addresses 10 and 11 to controller yard; the node there puts out "
            "Port-Addresses 11 and 12: one more.\n"
            "Art-Net counts from 0, E1.31 and many settings pages from 1. Write in the site file "
            "what the node puts out, or set the node to what the site sends.\n");
}

TEST(JudgeNodes, ThatMissAUniverseOrMerge) {
  Wire wire;
  wire.artnet(test::reply({.outputs = {10}, .good = {0x8a}}), 0, test::kNode);
  EXPECT_EQ(of_nodes(wire),
            "merging, seen, trouble, yard: 10\n"
            "The node of controller yard says that it merges two senders on Port-Address 10: the "
            "latest packet wins.\n"
            "Find the other sender and stop it, or wait until the node has forgotten it.\n"
            "not_put_out, possible, trouble, yard: 11\n"
            "The site sends Port-Address 11 to controller yard, but the node there lists only "
            "Port-Address 10.\n"
            "Compare the universe numbers in its settings with the site file. Some controllers "
            "list only their first four.\n");
}

TEST(JudgeNodes, ElsewhereSayNothingOfTheSite) {
  Wire wire;
  wire.artnet(test::reply({.outputs = {9, 10}}), 0, {10, 0, 0, 21});
  EXPECT_EQ(of_nodes(wire), "");
}

}  // namespace
}  // namespace panewalk::scan
