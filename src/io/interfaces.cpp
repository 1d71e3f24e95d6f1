#include "io/interfaces.hpp"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <bit>
#include <cerrno>
#include <memory>
#include <utility>

#include "io/route.hpp"
#include "io/send_socket.hpp"

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

using Owned = std::unique_ptr<ifaddrs, decltype(&::freeifaddrs)>;

Owned all_interfaces() {
  ifaddrs* first = nullptr;
  if (::getifaddrs(&first) != 0) first = nullptr;
  return {first, &::freeifaddrs};
}

in_addr_t ipv4_of(const sockaddr* address) {
  return reinterpret_cast<const sockaddr_in*>(address)->sin_addr.s_addr;
}

bool is_address(const std::string& interface, in_addr& address) {
  return ::inet_pton(AF_INET, interface.c_str(), &address) == 1;
}

/// One IPv4 address of a card, in network byte order.
struct CardAddress {
  const char* card;
  in_addr_t address, mask;
  in_addr_t broadcast;  ///< 0: none is set
};

std::vector<CardAddress> card_addresses(const Owned& interfaces) {
  std::vector<CardAddress> all;
  for (const ifaddrs* each = interfaces.get(); each != nullptr; each = each->ifa_next) {
    if (each->ifa_addr == nullptr || each->ifa_addr->sa_family != AF_INET) continue;
    CardAddress one{
        .card = each->ifa_name,
        .address = ipv4_of(each->ifa_addr),
        .mask = each->ifa_netmask != nullptr ? ipv4_of(each->ifa_netmask) : ~in_addr_t{0},
        .broadcast = 0};
    if ((each->ifa_flags & IFF_BROADCAST) != 0 && each->ifa_broadaddr != nullptr) {
      one.broadcast = ipv4_of(each->ifa_broadaddr);
    }
    // The C library gives the card's own address where the system has none.
    if (one.broadcast == one.address) one.broadcast = 0;
    all.push_back(one);
  }
  return all;
}

Host host_of(const in_addr& address) { return std::bit_cast<Host>(address.s_addr); }

bool is_group(const Host& host) { return host[0] >= 224 && host[0] <= 239; }  // RFC 5771

}  // namespace

std::vector<InterfaceAddress> interface_addresses() {
  const Owned interfaces = all_interfaces();
  std::vector<InterfaceAddress> addresses;
  for (const ifaddrs* each = interfaces.get(); each != nullptr; each = each->ifa_next) {
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

std::vector<std::string> card_names() {
  const std::unique_ptr<struct if_nameindex, decltype(&::if_freenameindex)> all{
      ::if_nameindex(), &::if_freenameindex};
  std::vector<std::string> names;
  for (const struct if_nameindex* each = all.get(); each != nullptr && each->if_name != nullptr;
       ++each) {
    names.emplace_back(each->if_name);
  }
  return names;
}

base::Result<WayOut, int> way_to(const Host& host, const std::optional<std::string>& interface) {
  // Also finds that there is no such card.
  SendSocket socket{{.multicast = is_group(host), .interface = interface}, {}};
  if (const int error = socket.open(); error != 0) return error;
  in_addr given{};
  const bool by_address = interface && is_address(*interface, given);
  if (by_address && is_group(host)) {
    const Owned interfaces = all_interfaces();
    for (const CardAddress& one : card_addresses(interfaces)) {
      if (one.address == given.s_addr) return WayOut{.card = one.card, .address = host_of(given)};
    }
    return EADDRNOTAVAIL;
  }
  // Of unicast an address says where it comes from; the route says where it goes.
  const int number =
      interface && !by_address ? static_cast<int>(::if_nametoindex(interface->c_str())) : 0;
  const auto route =
      route_to(host, number, by_address ? std::optional{host_of(given)} : std::nullopt);
  if (!route) return int{route.error()};
  WayOut way{.card = "", .address = route.value().from};
  std::array<char, IF_NAMESIZE> name{};
  if (::if_indextoname(static_cast<unsigned>(route.value().card), name.data()) != nullptr) {
    way.card = name.data();
  }
  return way;
}

Host broadcast_near(const Host& host, const std::optional<std::string>& interface) {
  const in_addr_t near = to_in_addr(host).s_addr;
  in_addr given{};
  const bool by_address = interface && is_address(*interface, given);
  const Owned interfaces = all_interfaces();
  std::optional<CardAddress> found;
  for (const CardAddress& one : card_addresses(interfaces)) {
    const auto holds_it = [near](const CardAddress& card) {
      return ((card.address ^ near) & card.mask) == 0;
    };
    const bool asked = !interface   ? holds_it(one)
                       : by_address ? one.address == given.s_addr
                                    : *interface == one.card;
    // Of several nets the one that holds the controller, and of those the narrowest, as in a route.
    const auto rank = [&holds_it](const CardAddress& card) {
      return std::pair{holds_it(card), ntohl(card.mask)};
    };
    if (asked && (!found || rank(*found) < rank(one))) found = one;
  }
  in_addr_t chosen = INADDR_BROADCAST;
  constexpr std::uint32_t kTwoHosts = 0xfffffffe;  // RFC 3021: /31 has no broadcast address
  if (found && found->broadcast != 0) {
    chosen = found->broadcast;
  } else if (found && ntohl(found->mask) < kTwoHosts) {
    chosen = found->address | ~found->mask;
  }
  return host_of(in_addr{.s_addr = chosen});
}

base::Problem no_such_card(const std::string& interface) {
  in_addr given{};
  if (is_address(interface, given)) {
    return {.what = "no network card of this machine has the address " + interface,
            .remedy = "an address that `ip address` lists, or none"};
  }
  const std::vector<std::string> names = card_names();
  return {.what = "no network card of this machine is named " + base::quoted(interface),
          .remedy = names.empty() ? "this machine has none" : "there are " + base::listed(names)};
}

}  // namespace panewalk::io
