#include "io/send_socket.hpp"

#include <fcntl.h>
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

int SendSocket::set_up(int socket) const {
  const int on = 1;
  // Without it a packet that this machine drops looks sent.
  if (!set_option(socket, IPPROTO_IP, IP_RECVERR, on)) return errno;
  set_option(socket, SOL_SOCKET, SO_SNDBUF, kSendBuffer);
  if (kind_.multicast) {
    if (!set_option(socket, IPPROTO_IP, IP_MULTICAST_TTL, ttl_)) return errno;
    if (kind_.interface &&
        !set_option(socket, IPPROTO_IP, IP_MULTICAST_IF, to_in_addr(*kind_.interface))) {
      return errno;
    }
  } else if (kind_.interface && !bind_socket(socket, to_sockaddr(*kind_.interface, 0))) {
    return errno;
  }
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
