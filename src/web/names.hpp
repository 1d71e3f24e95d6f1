#pragma once

#include <string>
#include <vector>

/// What this machine is called on its network.
namespace panewalk::web {

/// The hosts under which a server on every address ("0.0.0.0" or "::") is reached: its interfaces'
/// addresses (IPv6 only with "::", in brackets), "localhost", the machine's name and that in
/// ".local" (RFC 6762). Without port, in small letters.
std::vector<std::string> hosts_of_this_machine(const std::string& listens_on);

/// The first of these that a phone can open: IPv4 rather than IPv6, 127.0.0.1 where there is no
/// network.
std::string host_for_others(const std::string& listens_on);

}  // namespace panewalk::web
