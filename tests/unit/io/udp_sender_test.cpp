#include "io/udp_sender.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cerrno>
#include <cstdlib>
#include <optional>
#include <vector>

#include "allocations.hpp"
#include "io/error_words.hpp"
#include "io/socket_address.hpp"
#include "io/udp_receiver.hpp"
#include "own_network.hpp"

namespace panewalk::io {
namespace {

using namespace std::chrono_literals;
using engine::Destination;
using engine::OutPacket;
using test::in_own_network;
using test::kNotAllowed;
using test::shell;

constexpr Host kHere{127, 0, 0, 1};

UdpReceiver receiver(std::uint16_t port = 0) {
  auto made = UdpReceiver::open({.port = port});
  EXPECT_TRUE(made.ok());
  return std::move(made).value();
}
UdpSender sender(const std::vector<Destination>& destinations) {
  auto made = UdpSender::open(destinations);
  if (!made) ADD_FAILURE() << base::to_line(made.error()[0]);
  return std::move(made).value();
}
Destination to(std::uint16_t port) { return {.host = kHere, .port = port}; }

/// Packets that hold their number in four octets.
class Numbered {
 public:
  Numbered(std::size_t count, std::size_t destinations) : bytes_(count) {
    for (std::size_t i = 0; i < count; ++i) {
      bytes_[i] = {static_cast<std::uint8_t>(i >> 24U), static_cast<std::uint8_t>(i >> 16U),
                   static_cast<std::uint8_t>(i >> 8U), static_cast<std::uint8_t>(i)};
      packets_.push_back(
          {.destination = static_cast<std::uint32_t>(i % destinations), .bytes = bytes_[i]});
    }
  }
  [[nodiscard]] const std::vector<OutPacket>& packets() const { return packets_; }

 private:
  std::vector<std::array<std::uint8_t, 4>> bytes_;
  std::vector<OutPacket> packets_;
};

std::optional<std::uint32_t> next_number(UdpReceiver& from) {
  std::array<std::uint8_t, 16> buffer{};
  const auto got = from.receive(buffer, 200ms);
  if (!got || got->bytes.size() != 4) return std::nullopt;
  std::uint32_t number = 0;
  for (const std::uint8_t octet : got->bytes) number = number << 8U | octet;
  return number;
}

TEST(UdpSender, SendsEachPacketToItsDestination) {
  UdpReceiver first = receiver();
  UdpReceiver second = receiver();
  UdpSender sends = sender({to(first.port()), to(second.port())});
  const Numbered numbered{6, 2};
  sends.send(numbered.packets(), Instant{});
  for (const std::uint32_t expected : {0U, 2U, 4U}) EXPECT_EQ(next_number(first), expected);
  for (const std::uint32_t expected : {1U, 3U, 5U}) EXPECT_EQ(next_number(second), expected);
  EXPECT_EQ(sends.state(0).packets, 3U);
  EXPECT_EQ(sends.state(1).packets, 3U);
  EXPECT_EQ(sends.state(0).errors, 0U);
}

TEST(UdpSender, KeepsTheOrderOverMoreThanOneBatch) {
  UdpReceiver there = receiver();
  UdpSender sends = sender({to(there.port())});
  for (const std::size_t count :
       {std::size_t{63}, std::size_t{64}, std::size_t{65}, std::size_t{130}}) {
    const Numbered numbered{count, 1};
    sends.send(numbered.packets(), Instant{});
    for (std::uint32_t i = 0; i < count; ++i) ASSERT_EQ(next_number(there), i);
  }
  EXPECT_EQ(sends.state(0).packets, 63U + 64U + 65U + 130U);
}

TEST(UdpSender, TakesAListFarLargerThanABatch) {
  const UdpReceiver there = receiver();
  UdpSender sends = sender({to(there.port())});
  const Numbered numbered{5000, 1};
  sends.send(numbered.packets(), Instant{});
  const DestinationState& state = sends.state(0);
  EXPECT_EQ(state.packets + state.dropped + state.errors, 5000U);
  EXPECT_EQ(state.packets, 5000U) << "loopback hands over before the call returns";
}

TEST(UdpSender, DoesNothingForNoPackets) {
  UdpSender sends = sender({to(9)});
  sends.send({}, Instant{});
  EXPECT_EQ(sends.state(0).packets, 0U);
  UdpSender none = sender({});
  none.send({}, Instant{});
  ErrorReport report;
  none.report(report, Instant{});
  EXPECT_EQ(report.failing.count, 0U);
}

TEST(UdpSender, CountsAPacketThatNoUdpPacketCanHold) {
  UdpReceiver there = receiver();
  UdpSender sends = sender({to(there.port())});
  const std::vector<std::uint8_t> huge(70'000);  // RFC 768: at most 65535 with the header
  const std::array<std::uint8_t, 4> small{0, 0, 0, 7};
  const std::vector<OutPacket> packets{{.bytes = huge}, {.bytes = small}};
  sends.send(packets, Instant{5s});
  EXPECT_EQ(next_number(there), 7U) << "the rest goes out";
  EXPECT_EQ(sends.state(0).errors, 1U);
  EXPECT_EQ(sends.state(0).error, EMSGSIZE);
}

TEST(UdpSender, NeverBroadcasts) {
  UdpSender sends = sender({{.host = {255, 255, 255, 255}, .port = 9}});
  const Numbered numbered{1, 1};
  sends.send(numbered.packets(), Instant{5s});
  EXPECT_EQ(sends.state(0).packets, 0U);
  EXPECT_EQ(sends.state(0).errors, 1U);
  EXPECT_TRUE(sends.state(0).failing_since);
}

TEST(UdpSender, TellsWhichDestinationHasNobodyListening) {
  UdpReceiver there = receiver();
  const std::uint16_t gone = [] { return receiver().port(); }();
  UdpSender sends = sender({to(gone), to(there.port())});
  const Numbered numbered{200, 2};
  sends.send(numbered.packets(), Instant{1s});
  for (std::uint32_t i = 1; i < 200; i += 2) ASSERT_EQ(next_number(there), i);
  sends.send({}, Instant{2s});
  EXPECT_GT(sends.state(0).errors, 0U);
  EXPECT_EQ(sends.state(0).error, ECONNREFUSED);
  EXPECT_EQ(sends.state(0).failing_since, Instant{1s});
  EXPECT_EQ(sends.state(1).errors, 0U) << "an answer is laid to the destination it came from";
  EXPECT_EQ(sends.state(1).packets, 100U);

  ErrorReport report;
  sends.report(report, Instant{});
  EXPECT_EQ(report.failing.count, 1U);
  ASSERT_EQ(report.failing.listed().size(), 1U);
  EXPECT_EQ(report.failing.listed()[0].destination, 0U);
  EXPECT_EQ(report.failing.listed()[0].port, gone);
  EXPECT_EQ(in_words(report.failing.listed()[0].state.error), "nothing listens there");
}

TEST(UdpSender, SaysThatADestinationIsBackAfterFiveQuietSeconds) {
  std::optional<UdpReceiver> there = receiver();
  const std::uint16_t port = there->port();
  UdpSender sends = sender({to(port)});
  const Numbered one{1, 1};
  there.reset();
  sends.send(one.packets(), Instant{1s});
  sends.send(one.packets(), Instant{2s});
  EXPECT_EQ(sends.state(0).failing_since, Instant{1s} + 1s);
  there = receiver(port);
  sends.send(one.packets(), Instant{3s});  // takes the answer to the one before
  sends.send(one.packets(), Instant{7900ms});
  EXPECT_TRUE(sends.state(0).failing_since) << "the last answer came 4.9 s before";
  EXPECT_FALSE(sends.state(0).recovered_at);
  sends.send(one.packets(), Instant{8s});
  EXPECT_FALSE(sends.state(0).failing_since);
  EXPECT_EQ(sends.state(0).recovered_at, Instant{8s});
  EXPECT_EQ(next_number(*there), 0U);
  ErrorReport report;
  sends.report(report, Instant{});
  EXPECT_EQ(report.failing.count, 0U);
}

TEST(UdpSender, ListsTheFirstSixteenThatFailAndCountsAll) {
  std::vector<Destination> destinations;
  for (std::uint8_t i = 0; i < 20; ++i) {
    destinations.push_back(
        {.host = {255, 255, 255, 255}, .port = static_cast<std::uint16_t>(i + 1), .controller = i});
  }
  UdpSender sends = sender(destinations);
  const Numbered numbered{20, 20};
  sends.send(numbered.packets(), Instant{1s});
  ErrorReport report;
  sends.report(report, Instant{});
  EXPECT_EQ(report.failing.count, 20U);
  EXPECT_EQ(report.errors, 20U);
  ASSERT_EQ(report.failing.listed().size(), 16U);
  EXPECT_EQ(report.failing.listed()[15].controller, 15U);
}

TEST(UdpSender, SendsMulticastByTheCardAsked) {
  const Host group{239, 255, 0, 1};  // E1.31-2018 Table 9-10, universe 1
  auto there = UdpReceiver::open({.host = {0, 0, 0, 0}});
  ASSERT_TRUE(there.ok());
  UdpReceiver hears = std::move(there).value();
  ASSERT_EQ(hears.join(group, kHere), 0);
  UdpSender sends =
      sender({{.host = group, .port = hears.port(), .multicast = true, .interface = "127.0.0.1"}});
  const Numbered numbered{3, 1};
  sends.send(numbered.packets(), Instant{});
  for (const std::uint32_t expected : {0U, 1U, 2U}) EXPECT_EQ(next_number(hears), expected);
}

TEST(UdpSender, BroadcastsToTheNetOfTheHost) {
  auto there = UdpReceiver::open({.host = {0, 0, 0, 0}});
  ASSERT_TRUE(there.ok());
  UdpReceiver hears = std::move(there).value();
  UdpSender sends = sender({{.host = kHere, .port = hears.port(), .broadcast = true}});
  const Numbered numbered{3, 1};
  sends.send(numbered.packets(), Instant{});
  // To 127.255.255.255: loopback hands it to whoever listens at every address.
  for (const std::uint32_t expected : {0U, 1U, 2U}) EXPECT_EQ(next_number(hears), expected);
  EXPECT_EQ(sends.state(0).packets, 3U);
}

TEST(UdpSender, RefusesACardThatNobodyHas) {
  const std::vector<Destination> destinations{
      {.host = kHere, .port = 5568, .interface = "house9", .controller = 2}};
  const auto refused = UdpSender::open(destinations);
  ASSERT_FALSE(refused.ok());
  EXPECT_EQ(refused.error()[0].where, "/controllers/2/interface");
  EXPECT_EQ(refused.error()[0].what, "no network card of this machine is named \"house9\"");
}

TEST(UdpSender, RefusesAnInterfaceThatIsNotHere) {
  // RFC 5737: 192.0.2.0/24 is nobody's.
  for (const bool multicast : {false, true}) {
    const std::vector<Destination> destinations{{.host = {239, 255, 0, 1},
                                                 .port = 5568,
                                                 .multicast = multicast,
                                                 .interface = "192.0.2.1",
                                                 .controller = 2}};
    const auto refused = UdpSender::open(destinations);
    ASSERT_FALSE(refused.ok());
    EXPECT_EQ(base::to_line(refused.error()[0]),
              "/controllers/2/interface: no network card of this machine has the address "
              "192.0.2.1; an address that `ip address` lists, or none");
  }
}

TEST(UdpSender, TakesNoMemoryToSend) {
  if (!test::allocations()) GTEST_SKIP() << "count_malloc is not preloaded";
  const UdpReceiver there = receiver();
  const std::uint16_t gone = [] { return receiver().port(); }();
  UdpSender sends = sender({to(there.port()), to(gone), {.host = {255, 255, 255, 255}, .port = 9}});
  const Numbered numbered{150, 3};
  ErrorReport report;
  const auto before = test::allocations();
  for (int i = 0; i < 1000; ++i) {
    sends.send(numbered.packets(), Instant{i * 25ms});
    sends.report(report, Instant{});
  }
  EXPECT_EQ(test::allocations(), before);
  EXPECT_EQ(report.failing.count, 2U);
}

TEST(CountMalloc, SeesEveryWayToTakeMemory) {
  if (!test::allocations()) GTEST_SKIP() << "count_malloc is not preloaded";
  const auto before = *test::allocations();
  std::array<void* volatile, 5> taken{};
  taken[0] = std::malloc(8);
  taken[1] = std::calloc(2, 8);
  taken[2] = std::aligned_alloc(64, 64);
  void* aligned = nullptr;
  ASSERT_EQ(::posix_memalign(&aligned, 64, 64), 0);
  taken[3] = std::realloc(nullptr, 8);
  taken[4] = ::operator new(8);
  EXPECT_EQ(*test::allocations() - before, 6U);
  ::operator delete(taken[4]);
  for (std::size_t i = 0; i < 4; ++i) std::free(taken[i]);
  std::free(aligned);
}

TEST(UdpSender, GoesOnWhenTheNetworkComesBack) {
  const int result = in_own_network([] {
    constexpr std::uint16_t kPort = 40000;  // nobody else's in here
    UdpSender sends = sender({to(kPort)});
    const Numbered one{1, 1};
    sends.send(one.packets(), Instant{1s});
    if (sends.state(0).error != ENETUNREACH || sends.state(0).failing_since != Instant{1s})
      return 1;
    if (!shell("ip link set lo up")) return kNotAllowed;
    UdpReceiver there = receiver(kPort);
    sends.send(one.packets(), Instant{1100ms});
    if (next_number(there) != 0U) return 2;
    if (sends.state(0).failing_since || sends.state(0).recovered_at != Instant{1100ms}) return 3;
    return sends.state(0).packets == 1 && sends.state(0).errors == 1 ? 0 : 4;
  });
  if (result == kNotAllowed) GTEST_SKIP() << "no network namespaces here";
  EXPECT_EQ(result, 0);
}

TEST(UdpSender, OpensASocketAnewWhoseCardWasExchanged) {
  const int result = in_own_network([] {
    // The card that comes back has the address, but another number.
    constexpr const char* kPlugIn =
        "ip link add card type veth peer name far && ip addr add 10.1.2.3/24 dev card && "
        "ip link set card up && ip link set far up";
    if (!shell(kPlugIn)) return kNotAllowed;
    UdpSender sends = sender(
        {{.host = {239, 255, 0, 1}, .port = 5568, .multicast = true, .interface = "10.1.2.3"},
         {.host = {10, 1, 2, 4}, .port = 5568, .interface = "10.1.2.3"}});
    const Numbered both{2, 2};
    sends.send(both.packets(), Instant{10s});
    if (sends.state(0).packets != 1 || sends.state(1).packets != 1) return 1;
    if (!shell("ip link del card")) return 2;
    sends.send(both.packets(), Instant{11s});  // tries to open at once, and can't
    if (!sends.state(0).failing_since || !sends.state(1).failing_since) return 3;
    if (!shell(kPlugIn)) return 4;
    sends.send(both.packets(), Instant{11900ms});
    if (!sends.state(0).failing_since) return 5;  // no sooner than after a second
    sends.send(both.packets(), Instant{12100ms});
    sends.send(both.packets(), Instant{12200ms});
    if (sends.state(0).failing_since || sends.state(0).recovered_at != Instant{12200ms}) return 6;
    return sends.state(1).failing_since ? 7 : 0;
  });
  if (result == kNotAllowed) GTEST_SKIP() << "no network namespaces here";
  EXPECT_EQ(result, 0);
}

}  // namespace
}  // namespace panewalk::io
