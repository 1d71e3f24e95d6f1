#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "web/response.hpp"

namespace panewalk::web {

/// Who can reach the server. Beyond this machine a join code is needed.
enum class Reach { kThisMachine, kOneAddress, kEveryAddress };

/// Where the server listens, so under which names a call may come.
struct Door {
  std::string address = "127.0.0.1";
  std::uint16_t port = 0;
  Reach reach = Reach::kThisMachine;
  /// kEveryAddress: the names of this machine, without port, IPv6 in brackets, small letters.
  std::vector<std::string> hosts = {};
};

/// Host names have no case (RFC 9110 section 4.2.3).
std::string in_small_letters(std::string text);

/// "[::1]" for "::1"; other addresses and names as they are. A zone ("%eth0") is left out.
std::string as_host(const std::string& address);

/// On loopback "127.0.0.1:7007", "localhost:7007", "[::1]:7007" and the address itself; elsewhere
/// the address, or the machine's names where it listens on all.
std::vector<std::string> names_of(const Door& door);

/// The answer to a call that does not come to this door by name (a page elsewhere that points its
/// own name here), or that a page of another origin makes. Nothing where it may come in.
std::optional<Response> turned_away(const Request& request, const Door& door);

}  // namespace panewalk::web
