#include "io/practice_receivers.hpp"

#include <gtest/gtest.h>

#include <future>
#include <mutex>
#include <vector>

#include "io/udp_sender.hpp"

namespace panewalk::io {
namespace {

using namespace std::chrono_literals;

TEST(PracticeReceivers, HearEachControllersPackets) {
  std::mutex guard;
  std::vector<std::vector<int>> heard(2);
  std::promise<void> all;
  int count = 0;
  auto started = PracticeReceivers::start(
      2, [&guard, &heard, &all, &count](std::size_t controller,
                                        std::span<const std::uint8_t> packet, Instant at) {
        const std::scoped_lock lock{guard};
        EXPECT_LE(at, now());
        heard[controller].push_back(packet[0]);
        if (++count == 6) all.set_value();
      });
  ASSERT_TRUE(started.ok());
  const auto receivers = std::move(started).value();
  ASSERT_EQ(receivers->size(), 2U);
  EXPECT_NE(receivers->port(0), receivers->port(1));
  const std::vector<engine::Destination> destinations{
      {.host = {127, 0, 0, 1}, .port = receivers->port(0)},
      {.host = {127, 0, 0, 1}, .port = receivers->port(1)}};
  auto sender = UdpSender::open(destinations);
  ASSERT_TRUE(sender.ok());
  UdpSender sends = std::move(sender).value();
  std::vector<std::array<std::uint8_t, 1>> bytes{{0}, {1}, {2}, {3}, {4}, {5}};
  std::vector<engine::OutPacket> packets;
  for (std::uint32_t i = 0; i < 6; ++i)
    packets.push_back({.destination = i % 2, .bytes = bytes[i]});
  sends.send(packets, Instant{});
  ASSERT_EQ(all.get_future().wait_for(10s), std::future_status::ready);
  const std::scoped_lock lock{guard};
  EXPECT_EQ(heard[0], (std::vector<int>{0, 2, 4}));
  EXPECT_EQ(heard[1], (std::vector<int>{1, 3, 5}));
}

TEST(PracticeReceivers, EndWithoutAPacket) {
  const auto started =
      PracticeReceivers::start(3, [](std::size_t, std::span<const std::uint8_t>, Instant) {});
  EXPECT_TRUE(started.ok());
}

TEST(PracticeReceivers, MayBeNone) {
  const auto started =
      PracticeReceivers::start(0, [](std::size_t, std::span<const std::uint8_t>, Instant) {});
  EXPECT_TRUE(started.ok());
}

}  // namespace
}  // namespace panewalk::io
