#pragma once

#include <netinet/in.h>

#include <array>
#include <cstdint>
#include <string>

namespace panewalk::io {

using Host = std::array<std::uint8_t, 4>;
inline constexpr Host kLoopback{127, 0, 0, 1};

sockaddr_in to_sockaddr(const Host& host, std::uint16_t port);
in_addr to_in_addr(const Host& host);
Host host_of(const sockaddr_in& address);
std::uint16_t port_of(const sockaddr_in& address);
/// "192.0.2.7".
std::string to_text(const Host& host);

/// Binds and tells the address that came of it. False leaves errno.
bool bind_socket(int socket, const sockaddr_in& address);
bool local_address(int socket, sockaddr_in& address);
template <class Value>
bool set_option(int socket, int level, int name, const Value& value) {
  return ::setsockopt(socket, level, name, &value, sizeof value) == 0;
}

}  // namespace panewalk::io
