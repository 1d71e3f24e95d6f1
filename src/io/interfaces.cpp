#include "io/interfaces.hpp"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>
#include <unistd.h>

#include <array>
#include <memory>
#include <optional>

namespace panewalk::io {
namespace {

std::optional<InterfaceAddress> read_address(const sockaddr* address) {
  std::array<char, INET6_ADDRSTRLEN> text{};
  InterfaceAddress read;
  if (address->sa_family == AF_INET) {
    const in_addr& ipv4 = reinterpret_cast<const sockaddr_in*>(address)->sin_addr;
    if (::inet_ntop(AF_INET, &ipv4, text.data(), text.size()) == nullptr) return std::nullopt;
    read.is_loopback = ntohl(ipv4.s_addr) >> 24U == 127;
  } else if (address->sa_family == AF_INET6) {
    const in6_addr& ipv6 = reinterpret_cast<const sockaddr_in6*>(address)->sin6_addr;
    if (::inet_ntop(AF_INET6, &ipv6, text.data(), text.size()) == nullptr) return std::nullopt;
    read.is_ipv6 = true;
    read.is_loopback = IN6_IS_ADDR_LOOPBACK(&ipv6) != 0;
    read.is_link_local = IN6_IS_ADDR_LINKLOCAL(&ipv6) != 0;
  } else {
    return std::nullopt;
  }
  read.text = text.data();
  return read;
}

}  // namespace

std::vector<InterfaceAddress> interface_addresses() {
  ifaddrs* first = nullptr;
  if (::getifaddrs(&first) != 0) return {};
  const std::unique_ptr<ifaddrs, decltype(&::freeifaddrs)> owner{first, &::freeifaddrs};
  std::vector<InterfaceAddress> addresses;
  for (const ifaddrs* each = first; each != nullptr; each = each->ifa_next) {
    if (each->ifa_addr == nullptr || (each->ifa_flags & IFF_UP) == 0) continue;
    if (auto address = read_address(each->ifa_addr)) addresses.push_back(std::move(*address));
  }
  return addresses;
}

std::string host_name() {
  std::array<char, 256> name{};
  if (::gethostname(name.data(), name.size() - 1) != 0) return "";
  return name.data();
}

}  // namespace panewalk::io
