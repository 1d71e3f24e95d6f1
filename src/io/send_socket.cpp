#include "io/send_socket.hpp"

#include <arpa/inet.h>
#include <fcntl.h>
#include <net/if.h>
#include <sys/ioctl.h>
#include <sys/socket.h>
#include <sys/uio.h>
#include <unistd.h>

// clang-format off
#include <linux/errqueue.h>  // needs timespec from the headers above
// clang-format on

#include <array>
#include <cerrno>
#include <cstring>

namespace panewalk::io {
namespace {

/// Room for a frame of some hundred universes; the kernel gives less where it must.
constexpr int kSendBuffer = 1 << 20;

/// 0 where no card has the name. if_nametoindex would open a socket of its own.
int card_number(int socket, const std::string& name) {
  ifreq asked{};
  if (name.size() >= sizeof asked.ifr_name) return 0;
  name.copy(asked.ifr_name, name.size());
  return ::ioctl(socket, SIOCGIFINDEX, &asked) == 0 ? asked.ifr_ifindex : 0;
}

}  // namespace

int SendSocket::open() {
  Handle fresh{::socket(AF_INET, SOCK_DGRAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0)};
  if (!fresh.is_open()) return errno;
  if (const int error = set_up(fresh.get()); error != 0) return error;
  if (!handle_.is_open()) {
    handle_ = std::move(fresh);
    return 0;
  }
  return ::dup3(fresh.get(), handle_.get(), O_CLOEXEC) < 0 ? errno : 0;
}

bool SendSocket::is_outdated() const {
  if (card_ == 0) return false;
  const int now = card_number(descriptor(), *kind_.interface);
  return now != 0 && now != card_;
}

int SendSocket::set_up(int socket) {
  const int on = 1;
  // Without it a packet that this machine drops looks sent.
  if (!set_option(socket, IPPROTO_IP, IP_RECVERR, on)) return errno;
  set_option(socket, SOL_SOCKET, SO_SNDBUF, kSendBuffer);
  const int service = network_.dscp << 2;  // RFC 2474 section 3: the upper six bits
  if (!set_option(socket, IPPROTO_IP, IP_TOS, service)) return errno;
  if (kind_.broadcast && !set_option(socket, SOL_SOCKET, SO_BROADCAST, on)) return errno;
  if (kind_.multicast) {
    const int loop = network_.multicast_loop ? 1 : 0;
    if (!set_option(socket, IPPROTO_IP, IP_MULTICAST_TTL, network_.multicast_hops)) return errno;
    if (!set_option(socket, IPPROTO_IP, IP_MULTICAST_LOOP, loop)) return errno;
  }
  return kind_.interface ? choose_card(socket) : 0;
}

int SendSocket::choose_card(int socket) {
  sockaddr_in by = to_sockaddr({}, 0);
  if (::inet_pton(AF_INET, kind_.interface->c_str(), &by.sin_addr) == 1) {
    const bool chosen = kind_.multicast
                            ? set_option(socket, IPPROTO_IP, IP_MULTICAST_IF, by.sin_addr)
                            : bind_socket(socket, by);
    return chosen ? 0 : errno;
  }
  const int number = card_number(socket, *kind_.interface);
  if (number == 0) return ENODEV;
  bool chosen = false;
  if (kind_.multicast) {
    ip_mreqn card{};
    card.imr_ifindex = number;
    chosen = set_option(socket, IPPROTO_IP, IP_MULTICAST_IF, card);
  } else {
    // Linux; unlike SO_BINDTODEVICE it needs no privilege and leaves what comes in alone.
    const std::uint32_t of_wire = htonl(static_cast<std::uint32_t>(number));
    chosen = set_option(socket, IPPROTO_IP, IP_UNICAST_IF, of_wire);
  }
  if (!chosen) return errno;
  card_ = number;
  return 0;
}

std::optional<SendSocket::Answer> SendSocket::next_answer() const {
  Answer answer;
  alignas(cmsghdr) std::array<unsigned char, 512> control{};
  std::uint8_t payload = 0;
  iovec piece{.iov_base = &payload, .iov_len = sizeof payload};
  msghdr message{};
  message.msg_name = &answer.to;
  message.msg_namelen = sizeof answer.to;
  message.msg_iov = &piece;
  message.msg_iovlen = 1;
  message.msg_control = control.data();
  message.msg_controllen = control.size();
  if (::recvmsg(descriptor(), &message, MSG_ERRQUEUE | MSG_DONTWAIT) < 0) return std::nullopt;
  for (cmsghdr* part = CMSG_FIRSTHDR(&message); part != nullptr;
       part = CMSG_NXTHDR(&message, part)) {
    if (part->cmsg_level != IPPROTO_IP || part->cmsg_type != IP_RECVERR) continue;
    sock_extended_err extended{};
    std::memcpy(&extended, CMSG_DATA(part), sizeof extended);
    // What the machine itself refused has been told by the call that sent it.
    if (extended.ee_origin == SO_EE_ORIGIN_ICMP) answer.error = static_cast<int>(extended.ee_errno);
  }
  return answer;
}

}  // namespace panewalk::io
