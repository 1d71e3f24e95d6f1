#include "io/udp_receiver.hpp"

#include <gtest/gtest.h>

#include <array>
#include <vector>

#include "io/clock.hpp"
#include "io/udp_sender.hpp"

namespace panewalk::io {
namespace {

using namespace std::chrono_literals;

UdpReceiver receiver(const UdpReceiver::Place& place = {}) {
  auto made = UdpReceiver::open(place);
  EXPECT_TRUE(made.ok());
  return std::move(made).value();
}
void send_to(std::uint16_t port, const std::vector<std::uint8_t>& bytes) {
  const std::vector<engine::Destination> destinations{{.host = {127, 0, 0, 1}, .port = port}};
  auto sender = UdpSender::open(destinations);
  ASSERT_TRUE(sender.ok());
  const std::vector<engine::OutPacket> packets{{.bytes = bytes}};
  UdpSender sends = std::move(sender).value();
  sends.send(packets, Instant{});
}

TEST(UdpReceiver, TakesAFreePortOfItsOwn) {
  const UdpReceiver first = receiver();
  const UdpReceiver second = receiver();
  EXPECT_NE(first.port(), 0);
  EXPECT_NE(first.port(), second.port());
}

TEST(UdpReceiver, SaysWhatCameAndFromWhere) {
  UdpReceiver there = receiver();
  send_to(there.port(), {1, 2, 3});
  std::array<std::uint8_t, 8> buffer{};
  const auto got = there.receive(buffer, 1s);
  ASSERT_TRUE(got);
  EXPECT_EQ(std::vector<std::uint8_t>(got->bytes.begin(), got->bytes.end()),
            (std::vector<std::uint8_t>{1, 2, 3}));
  EXPECT_EQ(got->from, (std::array<std::uint8_t, 4>{127, 0, 0, 1}));
  EXPECT_NE(got->from_port, 0);
  EXPECT_FALSE(got->cut);
}

TEST(UdpReceiver, SaysWhenAPacketIsLongerThanTheBuffer) {
  UdpReceiver there = receiver();
  send_to(there.port(), {1, 2, 3});
  std::array<std::uint8_t, 2> buffer{};
  const auto got = there.receive(buffer, 1s);
  ASSERT_TRUE(got);
  EXPECT_EQ(got->bytes.size(), 2U);
  EXPECT_TRUE(got->cut);
}

TEST(UdpReceiver, TakesAnEmptyPacketForOne) {
  UdpReceiver there = receiver();
  send_to(there.port(), {});
  std::array<std::uint8_t, 2> buffer{};
  const auto got = there.receive(buffer, 1s);
  ASSERT_TRUE(got);
  EXPECT_TRUE(got->bytes.empty());
}

TEST(UdpReceiver, WaitsNoLongerThanAsked) {
  UdpReceiver there = receiver();
  std::array<std::uint8_t, 2> buffer{};
  EXPECT_FALSE(there.receive(buffer, Duration::zero()));
  const Instant begin = now();
  EXPECT_FALSE(there.receive(buffer, 5ms));
  EXPECT_GE(now() - begin, 5ms);
}

TEST(UdpReceiver, NamesThePortThatIsTaken) {
  const UdpReceiver first = receiver();
  const auto second = UdpReceiver::open({.port = first.port()});
  ASSERT_FALSE(second.ok());
  EXPECT_EQ(base::to_line(second.error()[0]),
            "can't listen on 127.0.0.1:" + std::to_string(first.port()) +
                ": Address already in use; stop what else listens there");
}

TEST(UdpReceiver, SharesAPortWhereAsked) {
  const UdpReceiver first = receiver({.shared = true});
  EXPECT_TRUE(UdpReceiver::open({.port = first.port(), .shared = true}).ok());
}

}  // namespace
}  // namespace panewalk::io
