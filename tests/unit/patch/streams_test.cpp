#include <gtest/gtest.h>

#include <chrono>
#include <string>

#include "patch/patch.hpp"
#include "support/patch_site.hpp"

/// How streams get along with each other on the network.
namespace panewalk::patch {
namespace {

using test::PatchSite;
using namespace std::chrono_literals;

/// Problems, else notes.
std::string told(const PatchSite& site) {
  const auto result = site.assign();
  std::string text;
  if (!result.ok()) {
    for (const base::Problem& problem : result.error()) text += base::to_line(problem) + '\n';
    return text;
  }
  for (const base::Problem& note : result.value().notes) {
    text += "note: " + base::to_line(note) + '\n';
  }
  return text;
}

PatchSite two_in_sync(int rate, int other_rate) {
  PatchSite site;
  ControllerDescription& bench = site.controller("bench", {10, 0, 0, 5});
  bench.frames_per_second = rate;
  bench.sync = Sync{7962};
  ControllerDescription& slip = site.controller("slip", {10, 0, 0, 6});
  slip.frames_per_second = other_rate;
  slip.sync = Sync{7962};
  site.prop("slip-window", "bench", 63, 1);
  site.prop("gable-line", "slip", 40, 2);
  return site;
}

TEST(PatchStreams, ThatShowTogetherHaveOneRate) {
  EXPECT_EQ(told(two_in_sync(40, 40)), "");
  EXPECT_EQ(told(two_in_sync(40, 30)),
            "/controllers/1/rate: 30 per second, but \"bench\" (/controllers/0/rate), which shows "
            "its frames at the same time, has 40; one rate for all that share a \"sync\"\n");
}

TEST(PatchStreams, OfOtherSyncOrProtocolHaveTheirOwnRate) {
  PatchSite site = two_in_sync(40, 40);
  ControllerDescription& third = site.controller("third", {10, 0, 0, 7});
  third.frames_per_second = 25;
  third.sync = Sync{7963};
  ControllerDescription& yard = site.controller("yard", {10, 0, 0, 8}, Protocol::kArtNet);
  yard.frames_per_second = 20;
  yard.sync = Sync{};
  EXPECT_EQ(told(site), "");
  ControllerDescription& jetty = site.controller("jetty", {10, 0, 0, 9}, Protocol::kArtNet);
  jetty.frames_per_second = 30;
  jetty.sync = Sync{};
  EXPECT_EQ(told(site),
            "/controllers/4/rate: 30 per second, but \"yard\" (/controllers/3/rate), which shows "
            "its frames at the same time, has 20; one rate for all that share a \"sync\"\n");
}

TEST(PatchStreams, AreSyncedWithinTheirFrame) {
  PatchSite site = two_in_sync(50, 50);
  site.network.sync_delay = 19999us;
  EXPECT_EQ(told(site),
            "note: /controllers/0/rate: 50 per second is faster than DMX512-A sends 512 channels "
            "(44 per second); E1.31 §6.6.1 allows it only where the controller is known to take "
            "it\n"
            "note: /controllers/1/rate: 50 per second is faster than DMX512-A sends 512 channels "
            "(44 per second); E1.31 §6.6.1 allows it only where the controller is known to take "
            "it\n");
  site.network.sync_delay = 20ms;
  EXPECT_EQ(told(site),
            "/network/sync_delay: as long as a frame of \"bench\" (/controllers/0/rate) or longer; "
            "less than 20.0 ms\n"
            "/network/sync_delay: as long as a frame of \"slip\" (/controllers/1/rate) or longer; "
            "less than 20.0 ms\n");
}

TEST(PatchStreams, MayBeSyncedByAUniverseOfAProp) {  // E1.31-2018 4.2
  PatchSite site;
  site.controller("bench", {10, 0, 0, 5}).sync = Sync{3};
  site.controller("slip", {10, 0, 0, 6}).sync = Sync{3};
  site.prop("slip-window", "bench", 63, 1);
  site.prop("eaves-line", "slip", 340, 2);
  EXPECT_EQ(told(site),
            "note: /controllers/0/sync: synchronization address 3 is a universe of \"eaves-line\" "
            "too (/props/1/universe); E1.31 §4.2 allows it; a number of its own is easier to tell "
            "apart\n");
}

TEST(PatchStreams, OfArtNetHearTheArtSyncForOthers) {
  PatchSite site;
  site.controller("yard", {10, 0, 0, 5}, Protocol::kArtNet);
  site.controller("bench", {10, 0, 0, 6});
  site.controller("jetty", {10, 0, 0, 7}, Protocol::kArtNet).sync = Sync{};
  EXPECT_EQ(told(site),
            "note: /controllers/0: on the same network it hears the ArtSync for \"jetty\" "
            "(/controllers/2/sync) too and waits for it; give it \"sync\": \"broadcast\" and the "
            "same rate\n");
}

PatchSite two_of_one_universe() {
  PatchSite site;
  site.controller("bench", {10, 0, 0, 5});
  site.controller("slip", {10, 0, 0, 6});
  site.prop("slip-window", "bench", 63, 1);
  site.prop("gable-line", "slip", 40, 1);
  return site;
}

TEST(PatchStreams, ByUnicastToTwoReceiversMayHaveTheSameUniverse) {
  EXPECT_EQ(told(two_of_one_universe()), "");
}

PatchSite multicast_and(std::optional<std::string> card, std::optional<std::string> other_card,
                        bool both) {
  PatchSite site;
  ControllerDescription& bench = site.controller("bench", {10, 0, 0, 5});
  ControllerDescription& slip = site.controller("slip", {10, 0, 0, 6});
  bench.interface = std::move(card);
  slip.interface = std::move(other_card);
  slip.address = {.multicast = true, .host = {}, .port = kE131Port};
  if (both) bench.address = slip.address;
  site.prop("slip-window", "bench", 63, 1);
  site.prop("gable-line", "slip", 40, 1).placement.channel = 301;
  return site;
}

TEST(PatchStreams, ByUnicastAndMulticastNeedUniversesOfTheirOwn) {
  EXPECT_EQ(
      told(multicast_and(std::nullopt, std::nullopt, false)),
      "/props/1/universe: universe 1 goes out by multicast for \"gable-line\" on \"slip\" "
      "(/props/1/universe) and by unicast for \"slip-window\" on \"bench\" "
      "(/props/0/universe); a receiver that hears both drops packets; give each a universe of "
      "its own, or send both by unicast\n");
  EXPECT_EQ(told(multicast_and("eth0", std::nullopt, false)),
            told(multicast_and(std::nullopt, std::nullopt, false)));
  EXPECT_EQ(told(multicast_and("eth0", "eth1", false)),
            "note: /props/1/universe: universe 1 goes out by multicast for \"gable-line\" on "
            "\"slip\" (/props/1/universe) and by unicast for \"slip-window\" on \"bench\" "
            "(/props/0/universe); a receiver that hears both cards drops packets\n");
}

TEST(PatchStreams, ByMulticastFromTwoCardsAreNoted) {
  EXPECT_EQ(told(multicast_and("eth0", "10.0.0.2", true)),
            "note: /props/1/universe: universe 1 goes out by multicast for \"gable-line\" on "
            "\"slip\" (/props/1/universe) and by multicast for \"slip-window\" on \"bench\" "
            "(/props/0/universe); a receiver that hears both cards drops packets\n");
  EXPECT_EQ(told(multicast_and("eth0", "eth0", true)),
            "/props/1/universe: universe 1 is sent to multicast port 5568 twice, by controller "
            "\"bench\" for \"slip-window\" and by controller \"slip\" for \"gable-line\"; one "
            "universe has one row of sequence numbers; make them one controller\n");
}

TEST(PatchStreams, ByMulticastOfOtherUniversesAreFine) {
  PatchSite site = two_of_one_universe();
  site.controller("yard").address = {.multicast = true, .host = {}, .port = kE131Port};
  site.prop("eaves-line", "yard", 340, 2);
  EXPECT_EQ(told(site), "");
}

}  // namespace
}  // namespace panewalk::patch
