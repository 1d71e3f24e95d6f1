#include "io/ears.hpp"

#include <gtest/gtest.h>
#include <sys/socket.h>

#include <atomic>
#include <thread>

#include "io/clock.hpp"
#include "io/udp_receiver.hpp"
#include "packet/artnet.hpp"
#include "packet/e131.hpp"

namespace panewalk::io {
namespace {

using namespace std::chrono_literals;
using Octets = std::vector<std::uint8_t>;

// Art-Net 4, ArtPoll: ID, OpCode 0x2000 low octet first, ProtVer 14, Flags 0, DiagPriority 0.
const Octets kPoll{'A', 'r', 't', '-', 'N', 'e', 't', 0, 0x00, 0x20, 0, 14, 0, 0};
constexpr Host kLoopbackBroadcast{127, 255, 255, 255};

// Nothing of these tests leaves this machine: they know of no other card.
std::vector<Card> loopback_alone() {
  return {{.index = 1,
           .name = "lo",
           .address = kLoopback,
           .mask = {255, 0, 0, 0},
           .broadcast = kLoopbackBroadcast,
           .takes_multicast = true,
           .is_loopback = true}};
}

std::uint16_t free_port() { return UdpReceiver::open({}).value().port(); }

Ears ears_on(Ears::Ports ports, Ears::Whom whom = {}) {
  return Ears{std::move(whom), ports, loopback_alone};
}

void send(const Octets& octets, const Host& to, std::uint16_t port) {
  const Handle socket{::socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0)};
  const int on = 1;
  set_option(socket.get(), SOL_SOCKET, SO_BROADCAST, on);
  set_option(socket.get(), IPPROTO_IP, IP_MULTICAST_IF, to_in_addr(kLoopback));
  const sockaddr_in address = to_sockaddr(to, port);
  ASSERT_EQ(::sendto(socket.get(), octets.data(), octets.size(), 0,
                     reinterpret_cast<const sockaddr*>(&address), sizeof address),
            static_cast<ssize_t>(octets.size()));
}

packet::Universe universe(int number) { return packet::Universe::from(number).value(); }

Octets discovery_of(int number) {
  packet::E131Discovery packet{.cid = packet::Cid::of({7}),
                               .source = packet::SourceName::from("punt shed").value()};
  packet.universes.append(universe(number));
  Octets octets(1500);
  octets.resize(packet::encode(packet, octets).value());
  return octets;
}

Octets levels_on(int number) {
  const Octets slots{1, 2, 3};
  const packet::E131Data packet{.cid = packet::Cid::of({7}),
                                .source = packet::SourceName::from("punt shed").value(),
                                .universe = universe(number),
                                .slots = slots};
  Octets octets(1500);
  octets.resize(packet::encode(packet, octets).value());
  return octets;
}

scan::Report listen(Ears& ears, base::Duration time = 50ms) {
  scan::Heard heard;
  const Instant began = now();
  ears.listen(began + time, heard);
  return heard.report(ears.asked(), began, now());
}

std::optional<Octets> next(UdpReceiver& receiver) {
  std::array<std::uint8_t, 1500> buffer{};
  const auto got = receiver.receive(buffer, 1s);
  if (!got) return std::nullopt;
  return Octets(got->bytes.begin(), got->bytes.end());
}

TEST(Ears, HearWhatIsSentToAGroupThatWasJoined) {
  const std::uint16_t port = free_port();
  Ears ears = ears_on({.e131 = port, .artnet = free_port()});
  listen(ears);
  ears.join(std::vector{universe(7)});
  send(levels_on(7), {239, 255, 0, 7}, port);
  send(discovery_of(9), {239, 255, 250, 214}, port);
  const scan::Report report = listen(ears);
  ASSERT_EQ(report.sources.size(), 1U);
  EXPECT_EQ(report.sources[0].name, "punt shed");
  EXPECT_EQ(report.sources[0].listed, std::vector<std::uint16_t>{9});
  EXPECT_EQ(report.sources[0].tells_by, std::vector<std::string>{"lo"});
  ASSERT_EQ(report.sources[0].streams.size(), 1U);
  EXPECT_EQ(report.sources[0].streams[0].universe, 7);
  EXPECT_EQ(report.sources[0].streams[0].card, "lo");
  EXPECT_EQ(report.sources[0].streams[0].ways.multicast, 1U);
  EXPECT_EQ(report.asked.groups, std::vector<std::uint16_t>{7});
  EXPECT_EQ(report.asked.troubles, std::vector<std::string>{});
}

TEST(Ears, HearNoGroupThatOnlyAnotherProgramJoined) {
  const std::uint16_t port = free_port();
  Ears ears = ears_on({.e131 = port, .artnet = free_port()});
  listen(ears);
  UdpReceiver other =
      UdpReceiver::open({.host = {0, 0, 0, 0}, .port = port, .shared = true}).value();
  ASSERT_EQ(other.join({239, 255, 0, 7}, kLoopback), 0);
  send(levels_on(7), {239, 255, 0, 7}, port);
  EXPECT_TRUE(listen(ears).sources.empty());
  EXPECT_TRUE(next(other));
}

TEST(Ears, HearWhatIsSentToThisMachineAlone) {
  const Ears::Ports ports{.e131 = free_port(), .artnet = free_port()};
  Ears ears = ears_on(ports);
  send(levels_on(7), kLoopback, ports.e131);
  const scan::Report report = listen(ears);
  ASSERT_EQ(report.sources.size(), 1U);
  EXPECT_EQ(report.sources[0].streams[0].ways.unicast, 1U);
}

TEST(Ears, TakeNothingFromAProgramThatHasThePortsToo) {
  UdpReceiver e131 = UdpReceiver::open({.host = {0, 0, 0, 0}, .shared = true}).value();
  UdpReceiver artnet = UdpReceiver::open({.host = {0, 0, 0, 0}, .shared = true}).value();
  Ears ears = ears_on({.e131 = e131.port(), .artnet = artnet.port()});
  listen(ears);
  ASSERT_EQ(next(artnet), kPoll);
  send(levels_on(7), kLoopback, e131.port());
  send(levels_on(8), kLoopback, artnet.port());
  send(discovery_of(9), {239, 255, 250, 214}, e131.port());
  const scan::Report report = listen(ears);
  EXPECT_EQ(next(e131), levels_on(7));
  EXPECT_EQ(next(artnet), levels_on(8));
  ASSERT_EQ(report.sources.size(), 1U);
  EXPECT_EQ(report.sources[0].listed, std::vector<std::uint16_t>{9});
  EXPECT_EQ(
      report.asked.troubles,
      (std::vector<std::string>{
          "E1.31 was heard by multicast alone: another program of this machine has UDP port " +
              std::to_string(e131.port()) + " too, and gets what is sent to this machine",
          "Art-Net was heard by broadcast alone, and answers may be missing: another program "
          "of this machine has UDP port " +
              std::to_string(artnet.port()) + " too"}));
}

TEST(Ears, SayWhichPortAnotherProgramHasForItself) {
  const UdpReceiver e131 = UdpReceiver::open({.host = {0, 0, 0, 0}}).value();
  const UdpReceiver artnet = UdpReceiver::open({.host = {0, 0, 0, 0}}).value();
  Ears ears = ears_on({.e131 = e131.port(), .artnet = artnet.port()});
  EXPECT_EQ(listen(ears).asked.troubles,
            (std::vector<std::string>{
                "no E1.31 was heard: another program of this machine has UDP port " +
                    std::to_string(e131.port()) + " for itself; stop it, then start this anew",
                "most of Art-Net was not heard: another program of this machine has UDP port " +
                    std::to_string(artnet.port()) + " for itself; stop it, then start this anew"}));
}

TEST(Ears, AskByBroadcastAndDoNotHearThemselves) {
  const Ears::Ports ports{.e131 = free_port(), .artnet = free_port()};
  Ears ears = ears_on(ports);
  // A program that comes later may have the port too.
  UdpReceiver node =
      UdpReceiver::open({.host = kLoopbackBroadcast, .port = ports.artnet, .shared = true}).value();
  const scan::Report report = listen(ears);
  EXPECT_EQ(next(node), kPoll);
  EXPECT_TRUE(report.callers.empty());
  EXPECT_EQ(report.asked.polled, std::vector<Host>{kLoopbackBroadcast});
  EXPECT_EQ(report.asked.cards, (std::vector<scan::Card>{{.name = "lo", .address = kLoopback}}));
}

TEST(Ears, HearAnothersQuestion) {
  const Ears::Ports ports{.e131 = free_port(), .artnet = free_port()};
  Ears ears = ears_on(ports);
  send(kPoll, kLoopbackBroadcast, ports.artnet);
  const scan::Report report = listen(ears);
  ASSERT_EQ(report.callers.size(), 1U);
  EXPECT_EQ(report.callers[0].polls, 1U);
}

TEST(Ears, AskANodeAtItsOwnPortAndHearThatNobodyListens) {
  UdpReceiver node = UdpReceiver::open({}).value();
  const std::uint16_t empty = free_port();
  Ears ears = ears_on(
      {.e131 = free_port(), .artnet = free_port()},
      {.nodes = {{.host = kLoopback, .port = empty}, {.host = kLoopback, .port = node.port()}}});
  const scan::Report report = listen(ears);
  EXPECT_EQ(next(node), kPoll);
  ASSERT_EQ(report.hosts.size(), 1U);
  EXPECT_EQ(report.hosts[0].address, kLoopback);
  EXPECT_EQ(report.hosts[0].refused, std::vector<std::uint16_t>{empty});
  EXPECT_EQ(report.asked.troubles, std::vector<std::string>{});
}

TEST(Ears, NoticeCardsThatComeAndGo) {
  const Ears::Ports ports{.e131 = free_port(), .artnet = free_port()};
  std::vector<Card> cards;
  Ears ears{{}, ports, [&cards] { return cards; }};
  EXPECT_EQ(listen(ears).asked.troubles,
            std::vector<std::string>{"no network card with an IPv4 address is up"});
  cards = loopback_alone();
  listen(ears, Ears::kLookEvery);
  send(discovery_of(9), {239, 255, 250, 214}, ports.e131);
  EXPECT_EQ(listen(ears).sources.size(), 1U);
  cards = {};
  listen(ears, Ears::kLookEvery);
  send(discovery_of(9), {239, 255, 250, 214}, ports.e131);
  EXPECT_EQ(listen(ears).sources.size(), 0U);
  cards = loopback_alone();
  listen(ears, Ears::kLookEvery);
  send(discovery_of(9), {239, 255, 250, 214}, ports.e131);
  EXPECT_EQ(listen(ears).sources.size(), 1U);
}

TEST(Ears, SayWhichCardDoesNoMulticast) {
  const auto yard_alone = [] {
    std::vector<Card> cards = loopback_alone();
    cards[0].name = "yard";
    cards[0].is_loopback = cards[0].takes_multicast = false;
    return cards;
  };
  Ears ears{{}, {.e131 = free_port(), .artnet = free_port()}, yard_alone};
  EXPECT_EQ(listen(ears).asked.troubles,
            std::vector<std::string>{"E1.31 in groups may be missing on the card yard: multicast "
                                     "is switched off there"});
}

TEST(Ears, SayWhichCardIsNotThere) {
  const auto gone = [] {
    std::vector<Card> cards = loopback_alone();
    cards[0].name = "yard";
    cards[0].index = 999'999;
    return cards;
  };
  Ears ears{{}, {.e131 = free_port(), .artnet = free_port()}, gone};
  ears.join(std::vector{universe(7)});
  EXPECT_EQ(listen(ears).asked.troubles,
            (std::vector<std::string>{
                "2 multicast groups were not joined by the card yard: No such device",
                "no ArtPoll by the card yard: the network card is gone"}));
}

TEST(Ears, LeaveOutUniversesBeyondTheMost) {
  Ears ears = ears_on({.e131 = free_port(), .artnet = free_port()});
  std::vector<packet::Universe> many;
  for (int number = 1; number <= 300; ++number) many.push_back(universe(number));
  ears.join(many);
  ears.join(many);
  const scan::Asked asked = listen(ears).asked;
  EXPECT_EQ(asked.groups.size(), 256U);
  EXPECT_EQ(asked.groups.back(), 256);
  EXPECT_EQ(asked.troubles,
            std::vector<std::string>{"44 universes were not listened to: 256 are the most"});
}

TEST(Ears, AFloodKeepsThemFromNothing) {
  const Ears::Ports ports{.e131 = free_port(), .artnet = free_port()};
  Ears ears = ears_on(ports);
  std::atomic<bool> ends = false;
  std::thread flood{[&ends, port = ports.e131] {
    const Handle socket{::socket(AF_INET, SOCK_DGRAM | SOCK_CLOEXEC, 0)};
    const sockaddr_in to = to_sockaddr(kLoopback, port);
    // At most a second's worth: the flood must end even where the test does not.
    for (int i = 0; i < 1'000'000 && !ends; ++i) {
      ::sendto(socket.get(), &i, sizeof i, 0, reinterpret_cast<const sockaddr*>(&to), sizeof to);
    }
  }};
  const Instant began = now();
  listen(ears, 100ms);
  send(kPoll, kLoopbackBroadcast, ports.artnet);
  const scan::Report report = listen(ears, 200ms);
  const Duration took = now() - began;
  ends = true;
  flood.join();
  EXPECT_LT(took, 3s);
  EXPECT_EQ(report.callers.size(), 1U);
}

TEST(IcmpEcho, IsAnsweredByThisMachine) {
  auto opened = IcmpEcho::open();
  if (!opened) GTEST_SKIP() << "this user may not ping";
  const IcmpEcho echo = std::move(opened).value();
  ASSERT_EQ(echo.ask(kLoopback, 0x1234), 0);
  std::optional<IcmpEcho::Answer> answer;
  for (const Instant end = now() + 5s; !answer && now() < end;) answer = echo.answer();
  ASSERT_TRUE(answer);
  EXPECT_EQ(answer->from, kLoopback);
  EXPECT_EQ(answer->number, 0x1234);
}

TEST(Ears, PingEachHostOnceItAnswers) {
  if (!IcmpEcho::open()) GTEST_SKIP() << "this user may not ping";
  Ears ears =
      ears_on({.e131 = free_port(), .artnet = free_port()}, {.hosts = {kLoopback, kLoopback}});
  const scan::Report report = listen(ears);
  EXPECT_EQ(report.asked.pinged, std::vector<Host>{kLoopback});
  ASSERT_EQ(report.hosts.size(), 1U);
  EXPECT_TRUE(report.hosts[0].echoed);
}

}  // namespace
}  // namespace panewalk::io
