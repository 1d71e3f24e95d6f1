#include "io/send_socket.hpp"

#include <gtest/gtest.h>
#include <sys/socket.h>

#include <array>
#include <cerrno>
#include <cstring>

#include "io/udp_receiver.hpp"
#include "own_network.hpp"

namespace panewalk::io {
namespace {

using namespace std::chrono_literals;
using test::in_own_network;
using test::kNotAllowed;
using test::shell;

constexpr Host kGroup{239, 255, 0, 1};  // E1.31-2018 Table 9-10, universe 1

/// 0, or the errno.
int send_one(const SendSocket& socket, const Host& host, std::uint16_t port) {
  const sockaddr_in to = to_sockaddr(host, port);
  const char octet = 'p';
  const auto sent = ::sendto(socket.descriptor(), &octet, 1, 0,
                             reinterpret_cast<const sockaddr*>(&to), sizeof to);
  return sent == 1 ? 0 : errno;
}

int option(const SendSocket& socket, int level, int name) {
  int value = -1;
  socklen_t size = sizeof value;
  EXPECT_EQ(::getsockopt(socket.descriptor(), level, name, &value, &size), 0);
  return value;
}

/// What the header of the next packet says.
struct Header {
  int hops = -1, service = -1;
  bool operator==(const Header&) const = default;
};
Header next_header(const UdpReceiver& from) {
  std::array<char, 16> payload{};
  alignas(cmsghdr) std::array<char, 256> control{};
  iovec piece{.iov_base = payload.data(), .iov_len = payload.size()};
  msghdr message{};
  message.msg_iov = &piece;
  message.msg_iovlen = 1;
  message.msg_control = control.data();
  message.msg_controllen = control.size();
  Header header;
  const timeval patience{.tv_sec = 5, .tv_usec = 0};
  set_option(from.descriptor(), SOL_SOCKET, SO_RCVTIMEO, patience);
  if (::recvmsg(from.descriptor(), &message, 0) < 0) return header;
  for (cmsghdr* part = CMSG_FIRSTHDR(&message); part != nullptr;
       part = CMSG_NXTHDR(&message, part)) {
    if (part->cmsg_level != IPPROTO_IP) continue;
    if (part->cmsg_type == IP_TTL) std::memcpy(&header.hops, CMSG_DATA(part), sizeof(int));
    if (part->cmsg_type == IP_TOS) header.service = *CMSG_DATA(part);
  }
  return header;
}

UdpReceiver receiver(const Host& host) {
  auto made = UdpReceiver::open({.host = host});
  EXPECT_TRUE(made.ok());
  const int on = 1;
  EXPECT_TRUE(set_option(made.value().descriptor(), IPPROTO_IP, IP_RECVTTL, on));
  EXPECT_TRUE(set_option(made.value().descriptor(), IPPROTO_IP, IP_RECVTOS, on));
  return std::move(made).value();
}

// RFC 2474: 46, expedited forwarding, is 0xb8 in the octet that was the type of service.
TEST(SendSocket, PutsHopsAndClassOfServiceIntoEachPacket) {
  UdpReceiver hears = receiver({0, 0, 0, 0});
  ASSERT_EQ(hears.join(kGroup, kLoopback), 0);
  SendSocket multicast{{.multicast = true, .interface = "127.0.0.1"},
                       {.multicast_hops = 3, .dscp = 46}};
  ASSERT_EQ(multicast.open(), 0);
  ASSERT_EQ(send_one(multicast, kGroup, hears.port()), 0);
  EXPECT_EQ(next_header(hears), (Header{.hops = 3, .service = 0xb8}));
  SendSocket unicast{{}, {.multicast_hops = 3, .dscp = 63}};
  ASSERT_EQ(unicast.open(), 0);
  ASSERT_EQ(send_one(unicast, kLoopback, hears.port()), 0);
  EXPECT_EQ(next_header(hears).service, 0xfc);
}

TEST(SendSocket, HasEightHopsAndNoClassOfServiceByDefault) {
  UdpReceiver hears = receiver({0, 0, 0, 0});
  ASSERT_EQ(hears.join(kGroup, kLoopback), 0);
  SendSocket socket{{.multicast = true, .interface = "127.0.0.1"}, {}};
  ASSERT_EQ(socket.open(), 0);
  EXPECT_EQ(option(socket, IPPROTO_IP, IP_MULTICAST_LOOP), 1);
  EXPECT_EQ(option(socket, SOL_SOCKET, SO_BROADCAST), 0);
  ASSERT_EQ(send_one(socket, kGroup, hears.port()), 0);
  EXPECT_EQ(next_header(hears), (Header{.hops = 8, .service = 0}));
}

TEST(SendSocket, CanKeepMulticastFromThisMachine) {
  SendSocket socket{{.multicast = true}, {.multicast_loop = false}};
  ASSERT_EQ(socket.open(), 0);
  EXPECT_EQ(option(socket, IPPROTO_IP, IP_MULTICAST_LOOP), 0);
}

TEST(SendSocket, BroadcastsOnlyWhereThatIsItsKind) {
  UdpReceiver hears = receiver({0, 0, 0, 0});
  const Host everybody{127, 255, 255, 255};
  SendSocket plain{{}, {}};
  ASSERT_EQ(plain.open(), 0);
  EXPECT_EQ(send_one(plain, everybody, hears.port()), EACCES);
  SendSocket broadcast{{.broadcast = true}, {.dscp = 46}};
  ASSERT_EQ(broadcast.open(), 0);
  ASSERT_EQ(send_one(broadcast, everybody, hears.port()), 0);
  EXPECT_EQ(next_header(hears).service, 0xb8);
}

TEST(SendSocket, SendsByACardThatIsNamed) {
  UdpReceiver hears = receiver({0, 0, 0, 0});
  ASSERT_EQ(hears.join(kGroup, kLoopback), 0);
  SendSocket multicast{{.multicast = true, .interface = "lo"}, {}};
  ASSERT_EQ(multicast.open(), 0);
  EXPECT_FALSE(multicast.is_outdated());
  ASSERT_EQ(send_one(multicast, kGroup, hears.port()), 0);
  EXPECT_EQ(next_header(hears).hops, 8);
  SendSocket unicast{{.interface = "lo"}, {}};
  ASSERT_EQ(unicast.open(), 0);
  ASSERT_EQ(send_one(unicast, kLoopback, hears.port()), 0);
  EXPECT_EQ(next_header(hears).service, 0);
}

TEST(SendSocket, NeedsTheCardThatIsNamed) {
  for (const bool multicast : {false, true}) {
    for (const char* const name : {"house9", "a-name-of-sixteen-and-more"}) {
      SendSocket socket{{.multicast = multicast, .interface = name}, {}};
      EXPECT_EQ(socket.open(), ENODEV);
    }
    // RFC 5737: 192.0.2.0/24 is nobody's.
    SendSocket socket{{.multicast = multicast, .interface = "192.0.2.1"}, {}};
    EXPECT_EQ(socket.open(), EADDRNOTAVAIL);
  }
}

TEST(SendSocket, FindsACardAgainThatCameBackUnderAnotherNumber) {
  const int result = in_own_network([] {
    constexpr const char* kPlugIn =
        "ip link add card type veth peer name far && ip addr add 10.1.2.3/24 dev card && "
        "ip link set card up && ip link set far up";
    if (!shell(kPlugIn)) return kNotAllowed;
    for (const bool multicast : {false, true}) {
      const Host to = multicast ? kGroup : Host{10, 1, 2, 4};
      SendSocket socket{{.multicast = multicast, .interface = "card"}, {}};
      if (socket.open() != 0 || send_one(socket, to, 5568) != 0 || socket.is_outdated()) return 1;
      if (!shell("ip link del card")) return 2;
      if (send_one(socket, to, 5568) != ENODEV || socket.is_outdated()) return 3;
      if (socket.open() != ENODEV) return 4;
      if (!shell(kPlugIn)) return 5;
      if (send_one(socket, to, 5568) != ENODEV || !socket.is_outdated()) return 6;
      const int number = socket.descriptor();
      if (socket.open() != 0 || socket.descriptor() != number) return 7;
      if (send_one(socket, to, 5568) != 0 || socket.is_outdated()) return 8;
      // The old card is still there and takes packets, under another name.
      if (!shell("ip link set card down && ip link set card name old && ip addr flush dev old")) {
        return 9;
      }
      if (socket.is_outdated() || !shell("ip link set far name far2") || !shell(kPlugIn)) return 10;
      if (!socket.is_outdated()) return 11;
      if (socket.open() != 0 || send_one(socket, to, 5568) != 0) return 12;
      if (!shell("ip link del old")) return 13;
    }
    return 0;
  });
  if (result == kNotAllowed) GTEST_SKIP() << "no network namespaces here";
  EXPECT_EQ(result, 0);
}

}  // namespace
}  // namespace panewalk::io
