#pragma once

#include <string>
#include <vector>

namespace panewalk::io {

/// An address of this machine, of an interface that is up.
struct InterfaceAddress {
  std::string text;  ///< "192.0.2.7", "2001:db8::7" (RFC 5952), without a zone
  bool is_ipv6 = false;
  bool is_loopback = false;    ///< 127.0.0.0/8 or ::1
  bool is_link_local = false;  ///< fe80::/10, of no use without a zone
};

/// In the system's order; empty where it does not tell.
std::vector<InterfaceAddress> interface_addresses();

/// "" where the system does not tell.
std::string host_name();

}  // namespace panewalk::io
