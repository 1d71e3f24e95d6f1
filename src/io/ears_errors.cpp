#include "io/ears_errors.hpp"

#include <sys/socket.h>
#include <sys/uio.h>

// clang-format off
#include <linux/errqueue.h>  // needs timespec from the headers above
// clang-format on

#include <array>
#include <cstring>

namespace panewalk::io {

std::optional<NetworkError> next_network_error(int socket) {
  sockaddr_in to{};
  alignas(cmsghdr) std::array<std::uint8_t, 512> notes{};
  std::uint8_t octet = 0;
  iovec piece{.iov_base = &octet, .iov_len = sizeof octet};
  msghdr message{};
  message.msg_name = &to;
  message.msg_namelen = sizeof to;
  message.msg_iov = &piece;
  message.msg_iovlen = 1;
  message.msg_control = notes.data();
  message.msg_controllen = notes.size();
  if (::recvmsg(socket, &message, MSG_ERRQUEUE | MSG_DONTWAIT) < 0) return std::nullopt;
  NetworkError answer{.to = host_of(to), .port = port_of(to), .error = 0};
  for (cmsghdr* note = CMSG_FIRSTHDR(&message); note != nullptr;
       note = CMSG_NXTHDR(&message, note)) {
    if (note->cmsg_level != IPPROTO_IP || note->cmsg_type != IP_RECVERR) continue;
    sock_extended_err extended{};
    std::memcpy(&extended, CMSG_DATA(note), sizeof extended);
    answer.error = static_cast<int>(extended.ee_errno);
  }
  return answer;
}

}  // namespace panewalk::io
