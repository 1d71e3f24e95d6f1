#include "io/socket_address.hpp"

#include <sys/socket.h>

#include <bit>

namespace panewalk::io {

in_addr to_in_addr(const Host& host) { return {.s_addr = std::bit_cast<in_addr_t>(host)}; }

sockaddr_in to_sockaddr(const Host& host, std::uint16_t port) {
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_port = htons(port);
  address.sin_addr = to_in_addr(host);
  return address;
}

Host host_of(const sockaddr_in& address) { return std::bit_cast<Host>(address.sin_addr.s_addr); }

std::uint16_t port_of(const sockaddr_in& address) { return ntohs(address.sin_port); }

std::string to_text(const Host& host) {
  return std::to_string(host[0]) + "." + std::to_string(host[1]) + "." + std::to_string(host[2]) +
         "." + std::to_string(host[3]);
}

bool bind_socket(int socket, const sockaddr_in& address) {
  return ::bind(socket, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0;
}

bool local_address(int socket, sockaddr_in& address) {
  socklen_t size = sizeof address;
  return ::getsockname(socket, reinterpret_cast<sockaddr*>(&address), &size) == 0;
}

}  // namespace panewalk::io
