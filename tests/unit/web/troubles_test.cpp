#include "web/troubles.hpp"

#include <gtest/gtest.h>

#include <cerrno>

#include "support/plans.hpp"

namespace panewalk::web {
namespace {

using namespace std::chrono_literals;

std::shared_ptr<engine::Plan> site() {
  return test::plan_of({test::e131_controller("bench"), test::artnet_controller("yard")},
                       {{.name = "gate", .pixels = 10, .controller = 0, .universe = 1},
                        {.name = "quay", .pixels = 10, .controller = 1, .universe = 10}});
}

io::Live in_real_time() {
  io::Live live;
  live.granted.realtime = true;
  return live;
}

void add(io::ErrorReport::List& list, std::optional<std::size_t> controller, std::uint8_t last,
         int error) {
  if (list.count < list.first.size()) {
    list.first[list.count] = {.destination = 0,
                              .controller = controller,
                              .host = {10, 0, 0, last},
                              .port = 5568,
                              .state = {.error = error}};
  }
  ++list.count;
}

std::string told(const std::vector<Trouble>& troubles) {
  std::string text;
  for (const Trouble& trouble : troubles) {
    text += "[" + trouble.key + "|" + trouble.cause + (trouble.tells ? "] " : "] untold ") +
            trouble.begins + "\n" + trouble.over + "\n";
  }
  return text;
}

TEST(Troubles, NoneWhereAllIsWell) { EXPECT_EQ(told(troubles_of(in_real_time(), *site())), ""); }

TEST(Troubles, OfDestinationsOneForAController) {
  io::Live live = in_real_time();
  add(live.errors.failing, 0, 5, ECONNREFUSED);
  add(live.errors.failing, 0, 6, EHOSTUNREACH);
  add(live.errors.failing, std::nullopt, 7, EPERM);
  add(live.errors.dropping, 1, 8, ENOBUFS);
  EXPECT_EQ(told(troubles_of(live, *site())),
            "[failing 0|111] controller bench, 10.0.0.5:5568: nothing listens there; check that "
            "the controller takes this protocol, and on this port\n"
            "controller bench, 10.0.0.5:5568: no more errors\n"
            "[failing discovery|1] universe discovery, 10.0.0.7:5568: a firewall here forbids it; "
            "allow outgoing UDP to the controller in the firewall\n"
            "universe discovery, 10.0.0.7:5568: no more errors\n"
            "[dropping 1|105] controller yard, 10.0.0.8:5568: the network card's queue is full; "
            "lower the rate, give its controller a \"burst\", or use a faster link\n"
            "controller yard, 10.0.0.8:5568: no more packets are dropped\n");
}

TEST(Troubles, OfMoreDestinationsThanAreListed) {
  io::Live live = in_real_time();
  for (std::uint8_t i = 1; i <= 20; ++i) add(live.errors.failing, 0, i, ENETUNREACH);
  EXPECT_EQ(told(troubles_of(live, *site())),
            "[failing 0|101] controller bench, 10.0.0.1:5568: no network leads there; check this "
            "machine's network cable and address\n"
            "controller bench, 10.0.0.1:5568: no more errors\n"
            "[failing more|] and more: 20 addresses in all have trouble\n"
            "only a few addresses have trouble now\n"
            "[failing discovery|] untold \n\n"
            "[failing 1|] untold \n\n");
}

TEST(Troubles, OrdinaryPriority) {
  EXPECT_EQ(told(troubles_of(io::Live{}, *site())),
            "[real time|] ordinary priority: the system grants no real time, so frames may be "
            "late while this machine is busy; allow this user real-time priority (RLIMIT_RTPRIO, "
            "in a systemd unit LimitRTPRIO=)\n\n");
}

scan::Finding finding(scan::Kind kind, scan::Sure sure = scan::Sure::kSeen) {
  return {.kind = kind,
          .sure = sure,
          .trouble = true,
          .controller = "bench",
          .universes = {1},
          .what = "What.",
          .next = "Next.",
          .who = "\"desk\" at 10.0.0.9"};
}

TEST(Troubles, OfFindings) {
  using scan::Kind;
  scan::Finding well = finding(Kind::kAnswers);
  well.trouble = false;
  scan::Finding silent = finding(Kind::kSilent, scan::Sure::kLikely);
  silent.who = "";
  scan::Finding here = finding(Kind::kNothing);
  scan::Finding shared = finding(Kind::kSharedCid);
  shared.who = "";
  shared.controller = std::nullopt;
  shared.next = "";
  EXPECT_EQ(told(troubles_of({well, silent, finding(Kind::kTaken), finding(Kind::kOffByOneSender),
                              finding(Kind::kMerging), finding(Kind::kOffByOneNode),
                              finding(Kind::kLosses),
                              finding(Kind::kNotPutOut, scan::Sure::kPossible), shared, here})),
            "[answers bench |silent] What. Next.\n"
            "Controller bench answers again.\n"
            "[taken bench \"desk\" at 10.0.0.9|] What. Next.\n"
            "\"desk\" at 10.0.0.9 no longer sends what controller bench gets.\n"
            "[off_by_one_sender bench \"desk\" at 10.0.0.9|] What. Next.\n"
            "\"desk\" at 10.0.0.9 no longer sends what lies beside the universes of controller "
            "bench.\n"
            "[merging bench \"desk\" at 10.0.0.9|] What. Next.\n"
            "The node of controller bench no longer says that it merges two senders.\n"
            "[off_by_one_node bench \"desk\" at 10.0.0.9|] What. Next.\n"
            "The node of controller bench no longer puts out what lies beside the site's.\n"
            "[losses bench \"desk\" at 10.0.0.9|] What. Next.\n"
            "No more losses are seen in what \"desk\" at 10.0.0.9 sends.\n"
            "[not_put_out bench \"desk\" at 10.0.0.9|] untold What. Next.\n\n"
            "[shared_cid  |] What.\n"
            "No other machine sends with the CID of this installation.\n");
}

TEST(MissedFrames, ABurstLastsUntilTenSecondsWithoutOne) {
  MissedFrames frames;
  const base::Instant start = base::Instant{} + 1h;
  EXPECT_FALSE(frames.look(start, 0));
  EXPECT_FALSE(frames.look(start + 1s, 4));
  const auto burst = frames.look(start + 2s, 9);
  ASSERT_TRUE(burst);
  EXPECT_EQ(burst->begins, "5 frames were missed; see what else keeps this machine busy");
  const auto later = frames.look(start + 11s, 12);
  ASSERT_TRUE(later);
  EXPECT_EQ(later->over, "no more frames are missed; there were 8");
  EXPECT_FALSE(frames.look(start + 12s, 12));
  EXPECT_FALSE(frames.look(start + 13s, 0));  // another stream
  EXPECT_TRUE(frames.look(start + 14s, 5));
}

}  // namespace
}  // namespace panewalk::web
