#include "io/network_watch.hpp"

#include <gtest/gtest.h>
#include <poll.h>
#include <sys/socket.h>

#include <algorithm>

#include "io/udp_receiver.hpp"
#include "packet/e131.hpp"
#include "support/plans.hpp"

namespace panewalk::io {
namespace {

using namespace std::chrono_literals;
using Seen = std::shared_ptr<const NetworkWatch::Seen>;

const packet::Cid kOurs = packet::Cid::of({1});
const packet::Cid kOther = packet::Cid::of({7});

// Nothing of these tests leaves this machine: they know of no other card.
std::vector<Card> loopback_alone() {
  return {{.index = 1,
           .name = "lo",
           .address = kLoopback,
           .mask = {255, 0, 0, 0},
           .broadcast = Host{127, 255, 255, 255},
           .takes_multicast = true,
           .is_loopback = true}};
}

std::uint16_t free_port() { return UdpReceiver::open({}).value().port(); }

NetworkWatch::Options on_free_ports() {
  return {.ports = {.e131 = free_port(), .artnet = free_port()}, .cards_now = loopback_alone};
}

std::shared_ptr<const engine::Plan> site(int props = 1) {
  patch::ControllerDescription bench = test::e131_controller("bench");
  bench.address.multicast = true;
  std::vector<test::LineOf> lines;
  for (int i = 0; i < props; ++i) {
    lines.push_back({.name = "gate-" + std::to_string(i), .pixels = 10, .universe = 1 + 10 * i});
  }
  return test::plan_of({bench}, lines);
}

void send_levels(const packet::Cid& cid, int universe, std::uint16_t port) {
  const std::array<std::uint8_t, 3> slots{1, 2, 3};
  const packet::E131Data packet{.cid = cid,
                                .source = packet::SourceName::from("punt shed").value(),
                                .universe = packet::Universe::from(universe).value(),
                                .slots = slots};
  std::array<std::uint8_t, 1500> octets{};
  const std::size_t size = packet::encode(packet, octets).value();
  const Handle socket{::socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0)};
  set_option(socket.get(), IPPROTO_IP, IP_MULTICAST_IF, to_in_addr(kLoopback));
  const sockaddr_in address = to_sockaddr({239, 255, 0, static_cast<std::uint8_t>(universe)}, port);
  ::sendto(socket.get(), octets.data(), size, 0, reinterpret_cast<const sockaddr*>(&address),
           sizeof address);
}

std::vector<std::uint16_t> taken(const Seen& seen) {
  std::vector<std::uint16_t> all;
  for (const scan::Finding& finding : seen->findings) {
    if (finding.kind != scan::Kind::kTaken) continue;
    all.insert(all.end(), finding.universes.begin(), finding.universes.end());
  }
  return all;
}

/// The first that fits, while both sources keep sending.
template <class Fits>
Seen wait_for(const NetworkWatch& watch, std::uint16_t port, int universe, Fits fits) {
  for (int i = 0; i < 300; ++i) {
    send_levels(kOther, universe, port);
    send_levels(kOurs, universe, port);
    ::poll(nullptr, 0, 100);  // the watch goes by the real clock
    const Seen seen = watch.seen();
    if (seen && fits(seen)) return seen;
  }
  return nullptr;
}

TEST(NetworkWatch, SeesWhoElseSendsAUniverseOfTheSiteAndNotItself) {
  const NetworkWatch::Options options = on_free_ports();
  const auto watch = NetworkWatch::start(site(), kOurs, options).value();
  EXPECT_EQ(watch->seen(), nullptr);
  const Seen seen =
      wait_for(*watch, options.ports.e131, 1, [](const Seen& now) { return !taken(now).empty(); });
  ASSERT_TRUE(seen);
  EXPECT_EQ(taken(seen), std::vector<std::uint16_t>{1});
  ASSERT_EQ(seen->report.sources.size(), 2U);
  EXPECT_EQ(seen->report.asked.groups, (std::vector<std::uint16_t>{1, 2}));
}

TEST(NetworkWatch, CallsSilenceNoTrouble) {
  const auto watch = NetworkWatch::start(site(), kOurs, on_free_ports()).value();
  for (int i = 0; i < 100 && !watch->seen(); ++i) ::poll(nullptr, 0, 100);
  const Seen seen = watch->seen();
  ASSERT_TRUE(seen);
  const bool silent =
      std::any_of(seen->findings.begin(), seen->findings.end(), [](const scan::Finding& finding) {
        return finding.kind == scan::Kind::kNothing && !finding.trouble;
      });
  EXPECT_TRUE(silent);
}

TEST(NetworkWatch, HearsManyGroupsInTurnAndCallsNoneOfTheGapsALoss) {
  const NetworkWatch::Options options = on_free_ports();
  const auto watch = NetworkWatch::start(site(10), kOurs, options).value();  // 29 groups
  ASSERT_TRUE(wait_for(*watch, options.ports.e131, 91,
                       [](const Seen& now) { return !taken(now).empty(); }));
  const Seen seen = wait_for(*watch, options.ports.e131, 91, [](const Seen& now) {
    return now->report.ended - now->report.began >= 6s;
  });
  ASSERT_TRUE(seen);
  EXPECT_EQ(taken(seen), std::vector<std::uint16_t>{91});
  EXPECT_EQ(seen->report.asked.groups.size(), 29U);
  EXPECT_EQ(seen->findings.size(), 2U);  // and that a group can't be asked
}

TEST(NetworkWatch, TakesAnotherSite) {
  const NetworkWatch::Options options = on_free_ports();
  const auto watch = NetworkWatch::start(site(), kOurs, options).value();
  ASSERT_TRUE(wait_for(*watch, options.ports.e131, 1, [](const Seen&) { return true; }));
  watch->replace(site(2));
  EXPECT_EQ(watch->seen(), nullptr);
  const Seen seen =
      wait_for(*watch, options.ports.e131, 11, [](const Seen& now) { return !taken(now).empty(); });
  ASSERT_TRUE(seen);
  EXPECT_EQ(taken(seen), std::vector<std::uint16_t>{11});
}

TEST(NetworkWatch, GoesOnWhereAnotherProgramHasThePorts) {
  const UdpReceiver e131 = UdpReceiver::open({.host = {0, 0, 0, 0}}).value();
  const UdpReceiver artnet = UdpReceiver::open({.host = {0, 0, 0, 0}}).value();
  const auto watch = NetworkWatch::start(site(), kOurs,
                                         {.ports = {.e131 = e131.port(), .artnet = artnet.port()},
                                          .cards_now = loopback_alone})
                         .value();
  const Seen seen = wait_for(*watch, e131.port(), 1, [](const Seen&) { return true; });
  ASSERT_TRUE(seen);
  EXPECT_EQ(seen->report.asked.troubles,
            (std::vector<std::string>{
                "no E1.31 was heard: another program of this machine has UDP port " +
                    std::to_string(e131.port()) + " for itself; stop it, then start this anew",
                "most of Art-Net was not heard: another program of this machine has UDP port " +
                    std::to_string(artnet.port()) + " for itself; stop it, then start this anew"}));
}

}  // namespace
}  // namespace panewalk::io
