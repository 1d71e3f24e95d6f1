#include "io/send_batch.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <string>

#include "io/socket_address.hpp"
#include "io/udp_receiver.hpp"
#include "io/udp_sender.hpp"

namespace panewalk::io {
namespace {

using namespace std::chrono_literals;

/// Packets of the lengths given, each full of its own number.
class Packets {
 public:
  explicit Packets(const std::vector<std::size_t>& lengths) : octets_(lengths.size()) {
    for (std::size_t i = 0; i < lengths.size(); ++i) {
      octets_[i].assign(lengths[i], static_cast<std::uint8_t>(i));
      all_.push_back({.destination = 0, .bytes = octets_[i]});
    }
  }
  [[nodiscard]] const std::vector<engine::OutPacket>& all() const { return all_; }

 private:
  std::vector<std::vector<std::uint8_t>> octets_;
  std::vector<engine::OutPacket> all_;
};

/// "3 1": the packets of each message.
std::string messages(const SendBatch& batch) {
  std::string text;
  for (std::size_t i = 0; i < batch.size(); ++i) {
    text += (text.empty() ? "" : " ") + std::to_string(batch.message(i).packets);
  }
  return text;
}

std::string joined(const std::vector<engine::OutPacket>& packets, bool may_join) {
  SendBatch batch;
  const sockaddr_in to{};
  for (const engine::OutPacket& packet : packets) EXPECT_TRUE(batch.add(packet, to, may_join));
  return messages(batch);
}

/// What comes: the length and the first octet of each packet.
std::string heard(UdpReceiver& there, std::size_t packets) {
  std::string text;
  std::array<std::uint8_t, 2000> buffer{};
  for (std::size_t i = 0; i < packets; ++i) {
    const auto got = there.receive(buffer, 500ms);
    if (!got) return text + " and no more";
    const bool whole = std::count(got->bytes.begin(), got->bytes.end(), got->bytes[0]) ==
                       static_cast<std::ptrdiff_t>(got->bytes.size());
    text += (text.empty() ? "" : " ") + std::to_string(got->bytes.size()) + ":" +
            std::to_string(got->bytes[0]) + (whole ? "" : " torn");
  }
  return text;
}

TEST(SendBatch, JoinsPacketsOfOneLengthToOneDestination) {
  EXPECT_EQ(joined(Packets{{638, 638, 638}}.all(), true), "3");
  EXPECT_EQ(joined(Packets{{638, 638, 126, 638}}.all(), true), "2 1 1");
  std::vector<engine::OutPacket> two = Packets{{10, 10, 10, 10}}.all();
  two[2].destination = two[3].destination = 1;
  EXPECT_EQ(joined(two, true), "2 2");
  EXPECT_EQ(joined(Packets{{638, 638, 638}}.all(), false), "1 1 1");
}

TEST(SendBatch, JoinsNoMoreThanTheKernelTakes) {
  // UDP_MAX_SEGMENTS 64, and 65 507 octets of UDP payload (RFC 768, RFC 791).
  EXPECT_EQ(joined(Packets{std::vector<std::size_t>(70, 638)}.all(), true), "64 6");
  EXPECT_EQ(joined(Packets{std::vector<std::size_t>(50, 1472)}.all(), true), "44 6");
}

TEST(SendBatch, SaysWhenItIsFull) {
  SendBatch batch;
  const sockaddr_in to{};
  const Packets packets{std::vector<std::size_t>(1025, 20)};
  for (std::size_t i = 0; i < 64; ++i) EXPECT_TRUE(batch.add(packets.all()[i], to, false));
  EXPECT_FALSE(batch.add(packets.all()[64], to, false));
  batch.clear();
  for (std::size_t i = 0; i < 1024; ++i) EXPECT_TRUE(batch.add(packets.all()[i], to, true));
  EXPECT_FALSE(batch.add(packets.all()[1024], to, true));
}

TEST(SendBatch, IsCutAgainOnTheWay) {
  auto opened = UdpReceiver::open({});
  ASSERT_TRUE(opened.ok());
  UdpReceiver there = std::move(opened).value();
  auto made =
      UdpSender::open(std::vector<engine::Destination>{{.host = kLoopback, .port = there.port()}});
  ASSERT_TRUE(made.ok());
  UdpSender sender = std::move(made).value();
  const Packets packets{{638, 638, 638, 126, 49, 49}};
  const std::string expected = "638:0 638:1 638:2 126:3 49:4 49:5";
  sender.send(packets.all(), Instant{});  // each by itself
  EXPECT_EQ(heard(there, 6), expected);
  sender.send(packets.all(), Instant{1s});  // from here on together
  EXPECT_EQ(heard(there, 6), expected);
  EXPECT_EQ(sender.state(0).packets, 12U);
  EXPECT_EQ(sender.state(0).errors, 0U);
}

}  // namespace
}  // namespace panewalk::io
