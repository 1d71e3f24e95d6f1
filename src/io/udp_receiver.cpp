#include "io/udp_receiver.hpp"

#include <poll.h>
#include <sys/socket.h>
#include <sys/uio.h>

#include <cerrno>

#include "io/clock.hpp"
#include "io/error_words.hpp"
#include "io/socket_address.hpp"

namespace panewalk::io {

base::Result<UdpReceiver> UdpReceiver::open(const Place& place) {
  const auto refused = [&place]() -> base::Problems {
    const int error = errno;
    return {{.what = "can't listen on " + to_text(place.host) + ":" + std::to_string(place.port) +
                     ": " + system_text(error),
             .remedy = error == EADDRINUSE ? "stop what else listens there" : ""}};
  };
  Handle handle{::socket(AF_INET, SOCK_DGRAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0)};
  if (!handle.is_open()) return refused();
  // Room for a frame of some hundred universes; the kernel gives less where it must.
  const int room = 1 << 20;
  set_option(handle.get(), SOL_SOCKET, SO_RCVBUF, room);
  const int on = 1;
  if (place.shared && !set_option(handle.get(), SOL_SOCKET, SO_REUSEADDR, on)) return refused();
  sockaddr_in address = to_sockaddr(place.host, place.port);
  if (!bind_socket(handle.get(), address) || !local_address(handle.get(), address)) {
    return refused();
  }
  return UdpReceiver{std::move(handle), port_of(address)};
}

std::optional<Datagram> UdpReceiver::receive(std::span<std::uint8_t> buffer, Duration most) {
  const Instant deadline = now() + most;
  while (true) {
    sockaddr_in from{};
    iovec piece{.iov_base = buffer.data(), .iov_len = buffer.size()};
    msghdr message{};
    message.msg_name = &from;
    message.msg_namelen = sizeof from;
    message.msg_iov = &piece;
    message.msg_iovlen = 1;
    const auto size = ::recvmsg(descriptor(), &message, MSG_DONTWAIT);
    if (size >= 0) {
      return Datagram{.bytes = buffer.first(static_cast<std::size_t>(size)),
                      .from = host_of(from),
                      .from_port = port_of(from),
                      .cut = (message.msg_flags & MSG_TRUNC) != 0};
    }
    const Duration left = deadline - now();
    if (most <= Duration::zero() || left <= Duration::zero()) return std::nullopt;
    const timespec wait = to_timespec(left);
    pollfd readable{.fd = descriptor(), .events = POLLIN, .revents = 0};
    ::ppoll(&readable, 1, &wait, nullptr);
  }
}

int UdpReceiver::join(const std::array<std::uint8_t, 4>& group,
                      const std::array<std::uint8_t, 4>& interface) {
  const ip_mreqn request{
      .imr_multiaddr = to_in_addr(group), .imr_address = to_in_addr(interface), .imr_ifindex = 0};
  return set_option(descriptor(), IPPROTO_IP, IP_ADD_MEMBERSHIP, request) ? 0 : errno;
}

}  // namespace panewalk::io
