#pragma once

#include <cstdint>
#include <optional>

#include "io/socket_address.hpp"

namespace panewalk::io {

/// What a router, a host or this machine's own search for a host (ARP) answered to a packet.
struct NetworkError {
  Host to{};  ///< where the packet was to go
  std::uint16_t port = 0;
  int error = 0;  ///< errno
};
/// Takes one off the queue of a socket with IP_RECVERR. Never waits.
std::optional<NetworkError> next_network_error(int socket);

}  // namespace panewalk::io
