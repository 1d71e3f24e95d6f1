#include <gtest/gtest.h>

#include <chrono>
#include <string>

#include "patch/patch.hpp"
#include "support/patch_site.hpp"

namespace panewalk::patch {
namespace {

using test::PatchSite;

std::string complaint(const PatchSite& site) {
  const auto result = site.assign();
  if (result.ok()) return "";
  std::string text;
  for (const base::Problem& problem : result.error()) text += base::to_line(problem) + '\n';
  return text;
}

PatchSite bench() {
  PatchSite site;
  site.controller("bench");
  return site;
}

TEST(PatchProblems, NameTheControllerThatWasMeant) {
  PatchSite site = bench();
  site.prop("slip-window", "bnch", 63, 1);
  EXPECT_EQ(complaint(site),
            "/props/0/controller: no controller is called \"bnch\"; did you mean \"bench\"?\n");
}

TEST(PatchProblems, SayWhereControllersAreListedWhenThereAreNone) {
  PatchSite site;
  site.prop("slip-window", "bench", 63, 1);
  EXPECT_EQ(complaint(site),
            "/props/0/controller: no controller is called \"bench\"; list it under "
            "\"controllers\"\n");
}

TEST(PatchProblems, GiveTheRangeOfE131Universes) {  // E1.31-2018 6.2.7
  for (const auto& [universe, fits] :
       {std::pair{0, false}, {1, true}, {63999, true}, {64000, false}}) {
    PatchSite site = bench();
    site.prop("slip-window", "bench", 63, universe);
    EXPECT_EQ(complaint(site), fits ? ""
                                    : "/props/0/universe: " + std::to_string(universe) +
                                          " is no E1.31 universe; allowed: 1 to 63999\n");
  }
}

TEST(PatchProblems, GiveTheRangeOfPortAddresses) {  // Art-Net 4: 15 bits
  for (const auto& [universe, fits] :
       {std::pair{-1, false}, {0, true}, {32767, true}, {32768, false}}) {
    PatchSite site;
    site.controller("yard", {10, 0, 0, 2}, Protocol::kArtNet);
    site.prop("slip-window", "yard", 63, universe);
    EXPECT_EQ(complaint(site), fits ? ""
                                    : "/props/0/universe: " + std::to_string(universe) +
                                          " is no Port-Address; allowed: 0 to 32767\n");
  }
}

TEST(PatchProblems, SayWhenAPropRunsPastTheLastUniverse) {
  PatchSite site = bench();
  site.prop("slip-window", "bench", 341, 63998);
  EXPECT_EQ(complaint(site),
            "/props/0/universe: \"slip-window\" runs on to 64000, past the last E1.31 universe "
            "63999; start at 63997 or before\n");
  PatchSite fits = bench();
  fits.prop("slip-window", "bench", 340, 63998);
  EXPECT_EQ(complaint(fits), "");
}

TEST(PatchProblems, GiveTheUsableChannels) {
  for (const std::int64_t channel : {-2, 0, 511, 513}) {
    PatchSite site = bench();
    site.prop("slip-window", "bench", 63, 1).placement.channel = channel;
    EXPECT_EQ(complaint(site), "/props/0/channel: " + std::to_string(channel) +
                                   " is not allowed; allowed: 1 to 510, the channels that "
                                   "controller \"bench\" uses of each universe\n");
  }
}

TEST(PatchProblems, NameTheStartsThatKeepPixelsWhole) {
  PatchSite site = bench();
  site.prop("slip-window", "bench", 63, 1).placement.channel = 6;
  site.prop("boat-ring", "bench", 10, 2, "RGBW").placement.channel = 512;
  EXPECT_EQ(complaint(site),
            "/props/0/channel: a start at channel 6 splits the last pixel of the universe; the "
            "nearest that keeps pixels of 3 channels whole: 4 or 7\n"
            "/props/1/channel: a start at channel 512 splits the last pixel of the universe; the "
            "nearest that keeps pixels of 4 channels whole: 509\n");
}

TEST(PatchProblems, LetAPixelStraddleAt512) {
  PatchSite site;
  site.controller("bench").channels_per_universe = 512;
  site.prop("slip-window", "bench", 63, 1).placement.channel = 512;
  EXPECT_EQ(complaint(site), "");
}

TEST(PatchProblems, RefuseNullsBelowNone) {
  PatchSite site = bench();
  site.prop("slip-window", "bench", 63, 1).placement.nulls = -1;
  EXPECT_EQ(complaint(site), "/props/0/nulls: -1 is not allowed; allowed: 0 or more\n");
}

TEST(PatchProblems, NameBothPropsThatTakeTheSameChannels) {
  PatchSite site = bench();
  site.prop("slip-window", "bench", 63, 1);
  site.prop("boat-ring", "bench", 28, 1).placement.channel = 100;
  EXPECT_EQ(complaint(site),
            "/props/1/universe: \"boat-ring\" takes universe 1 channels 100 to 183, which "
            "\"slip-window\" takes too (/props/0/universe); free from universe 2 on\n");
}

TEST(PatchProblems, LetPropsShareAUniverseSideBySide) {
  PatchSite site = bench();
  site.prop("slip-window", "bench", 63, 1);  // channels 1 to 189
  site.prop("boat-ring", "bench", 28, 1).placement.channel = 190;
  EXPECT_EQ(complaint(site), "");
}

TEST(PatchProblems, CountNullsAndSparesAmongTheChannelsTaken) {
  PatchSite site = bench();
  site.prop("slip-window", "bench", 62, 1, "RGB", {{62, 1}}).placement.nulls = 1;  // to 192
  site.prop("boat-ring", "bench", 28, 1).placement.channel = 190;
  EXPECT_EQ(complaint(site),
            "/props/1/universe: \"boat-ring\" takes universe 1 channels 190 to 192, which "
            "\"slip-window\" takes too (/props/0/universe); free from universe 2 on\n");
}

TEST(PatchProblems, ListTheFirstUniversesOfALongOverlap) {
  PatchSite site = bench();
  site.prop("slip-window", "bench", 800, 1);
  site.prop("boat-ring", "bench", 700, 1).placement.channel = 508;
  EXPECT_EQ(complaint(site),
            "/props/1/universe: \"boat-ring\" takes universe 1 channels 508 to 510, universe 2 "
            "channels 1 to 510, universe 3 channels 1 to 510 and 2 universes more, which "
            "\"slip-window\" takes too (/props/0/universe); free from universe 7 on\n");
}

TEST(PatchProblems, FindOverlapsOfPropsThatPackDifferently) {
  // Four-channel pixels use 512 channels, three-channel pixels 510.
  PatchSite site = bench();
  site.prop("slip-window", "bench", 171, 1);
  site.prop("boat-ring", "bench", 128, 1, "RGBW");
  EXPECT_EQ(complaint(site),
            "/props/1/universe: \"boat-ring\" takes universe 1 channels 1 to 510, which "
            "\"slip-window\" takes too (/props/0/universe); free from universe 3 on\n");
}

TEST(PatchProblems, LetDifferentDestinationsUseTheSameUniverse) {
  PatchSite site = bench();
  site.controller("yard", {127, 0, 0, 2});
  site.controller("dock").address.port = 5569;
  site.controller("shed", {127, 0, 0, 1}, Protocol::kArtNet);
  for (const char* controller : {"bench", "yard", "dock", "shed"}) {
    site.prop(std::string{"line-"} + controller, controller, 63, 1);
  }
  EXPECT_EQ(complaint(site), "");
}

TEST(PatchProblems, RefuseAUniverseThatTwoControllersSendToOnePlace) {
  PatchSite site = bench();
  site.controller("bench-again");
  site.prop("slip-window", "bench", 63, 1);
  site.prop("boat-ring", "bench-again", 28, 1).placement.channel = 190;
  EXPECT_EQ(complaint(site),
            "/props/1/universe: universe 1 is sent to 127.0.0.1:5568 twice, by controller "
            "\"bench\" for \"slip-window\" and by controller \"bench-again\" for \"boat-ring\"; "
            "one universe has one row of sequence numbers; make them one controller\n");
}

TEST(PatchProblems, RefuseTheSameForMulticast) {
  PatchSite site;
  site.controller("bench").address = {true, {}, kE131Port};
  site.controller("yard").address = {true, {}, kE131Port};
  site.prop("slip-window", "bench", 63, 1);
  site.prop("boat-ring", "yard", 28, 2);
  EXPECT_EQ(complaint(site), "");
  site.prop("oar-line", "yard", 28, 1).placement.channel = 190;
  EXPECT_EQ(complaint(site),
            "/props/2/universe: universe 1 is sent to multicast port 5568 twice, by controller "
            "\"bench\" for \"slip-window\" and by controller \"yard\" for \"oar-line\"; one "
            "universe has one row of sequence numbers; make them one controller\n");
}

TEST(PatchProblems, GiveTheMostChipsOfAChain) {
  PatchSite site = bench();
  site.prop("slip-window", "bench", 824, 1);
  EXPECT_EQ(complaint(site),
            "/props/0: \"slip-window\" has 824 chips in one chain on \"bench\"; at most 823 at 40 "
            "per second, or a rate of at most 39 per second\n");
  PatchSite fits = bench();
  fits.prop("slip-window", "bench", 823, 1);
  EXPECT_EQ(complaint(fits), "");
}

TEST(PatchProblems, CountAllPropsOfAnOutputAsOneChain) {
  PatchSite site = bench();
  site.prop("slip-window", "bench", 500, 1).placement.output = 3;
  site.prop("oar-line", "bench", 500, 11);  // a chain of its own
  site.prop("boat-ring", "bench", 320, 21).placement.output = 3;
  EXPECT_EQ(complaint(site), "");
  site.prop("dock-line", "bench", 2, 31).placement.output = 3;
  site.prop("shed-line", "bench", 500, 41).placement.output = 2;
  PatchedProp& last = site.prop("gate-line", "bench", 2, 51);
  last.placement.output = 3;
  last.placement.nulls = 1;
  EXPECT_EQ(complaint(site),
            "/props/5/output: output 3 of \"bench\" has 825 chips in one chain (\"slip-window\" "
            "500, \"boat-ring\" 320, \"dock-line\" 2 and \"gate-line\" 3); at most 823 at 40 per "
            "second, or a rate of at most 39 per second\n");
}

TEST(PatchProblems, TakeTheLongestResetOfAnOutput) {
  PatchSite site = bench();
  PatchedProp& quick = site.prop("slip-window", "bench", 824, 1);
  quick.placement.output = 1;
  quick.format.reset = std::chrono::microseconds{280};  // at most 824
  EXPECT_EQ(complaint(site), "");
  PatchedProp& slow = site.prop("boat-ring", "bench", 2, 11);
  slow.placement.output = 1;
  EXPECT_EQ(complaint(site),
            "/props/1/output: output 1 of \"bench\" has 826 chips in one chain (\"slip-window\" "
            "824 and \"boat-ring\" 2); at most 823 at 40 per second, or a rate of at most 39 per "
            "second\n");
}

TEST(PatchProblems, AddUpTheTimeOfChipsOfThreeAndFourChannels) {
  // 400 x 30 us + 300 x 40 us + 300 us = 24.3 ms; ten more of four channels 24.7; 20 more 25.1.
  PatchSite site = bench();
  site.prop("slip-window", "bench", 400, 1).placement.output = 1;
  site.prop("boat-ring", "bench", 310, 11, "RGBW").placement.output = 1;
  EXPECT_EQ(complaint(site), "");
  site.prop("oar-line", "bench", 10, 21, "RGBW").placement.output = 1;
  EXPECT_EQ(complaint(site),
            "/props/2/output: output 1 of \"bench\" has 720 chips in one chain (\"slip-window\" "
            "400, \"boat-ring\" 310 and \"oar-line\" 10); they take 25.1 ms a frame, at most 25.0 "
            "ms at 40 per second, or a rate of at most 39 per second\n");
}

TEST(PatchProblems, RefuseChipsOfDifferentSpeedOnOneOutput) {
  PatchSite site = bench();
  site.prop("slip-window", "bench", 63, 1).placement.output = 1;
  PatchedProp& slow = site.prop("boat-ring", "bench", 28, 11);
  slow.placement.output = 1;
  slow.format.bits_per_second = 400'000;
  EXPECT_EQ(complaint(site),
            "/props/1/output: \"boat-ring\" takes 400000 bits a second, but \"slip-window\" takes "
            "800000 bits a second on the same output of \"bench\"; chips of different speed can't "
            "share a data line; use another output\n");
}

TEST(PatchProblems, RefuseTwoControllersOfOneName) {
  PatchSite site = bench();
  site.controller("bench", {10, 0, 0, 9});
  EXPECT_EQ(complaint(site),
            "/controllers/1/name: \"bench\" is already the name of /controllers/0; each controller "
            "needs a name of its own\n");
}

TEST(PatchProblems, ComeAllAtOnce) {
  PatchSite site = bench();
  site.controller("bench", {10, 0, 0, 9});
  site.prop("slip-window", "bench", 900, 0).placement.channel = 2;
  site.prop("boat-ring", "yard", 28, 1);
  site.prop("oar-line", "bench", 10, 5);
  site.prop("dock-line", "bench", 10, 5);
  EXPECT_EQ(complaint(site),
            "/controllers/1/name: \"bench\" is already the name of /controllers/0; each controller "
            "needs a name of its own\n"
            "/props/0/universe: 0 is no E1.31 universe; allowed: 1 to 63999\n"
            "/props/0/channel: a start at channel 2 splits the last pixel of the universe; the "
            "nearest that keeps pixels of 3 channels whole: 1 or 4\n"
            "/props/1/controller: no controller is called \"yard\"; allowed: \"bench\"\n"
            "/props/0: \"slip-window\" has 900 chips in one chain on \"bench\"; at most 823 at 40 "
            "per second, or a rate of at most 36 per second\n"
            "/props/3/universe: \"dock-line\" takes universe 5 channels 1 to 30, which "
            "\"oar-line\" takes too (/props/2/universe); free from universe 6 on\n");
}

TEST(PatchProblems, AreNoneForASiteWithoutProps) { EXPECT_EQ(complaint(bench()), ""); }

}  // namespace
}  // namespace panewalk::patch
