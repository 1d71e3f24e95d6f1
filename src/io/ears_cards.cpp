#include "io/ears_cards.hpp"

#include <ifaddrs.h>
#include <net/if.h>
#include <sys/socket.h>

#include <memory>

namespace panewalk::io {
namespace {

Host host_in(const sockaddr* address) {
  return host_of(*reinterpret_cast<const sockaddr_in*>(address));
}

/// The highest address of the network (RFC 919), which is the broadcast address also where nobody
/// gave the card one; networks of two addresses and of one have none (RFC 3021).
std::optional<Host> broadcast_of(const Host& address, const Host& mask) {
  if (mask[3] >= 0xfe) return std::nullopt;
  Host all{};
  for (std::size_t i = 0; i < all.size(); ++i) {
    all[i] = static_cast<std::uint8_t>(address[i] | (0xffU & ~mask[i]));
  }
  return all;
}

}  // namespace

std::vector<Card> cards_that_are_up() {
  ifaddrs* first = nullptr;
  if (::getifaddrs(&first) != 0) return {};
  const std::unique_ptr<ifaddrs, decltype(&::freeifaddrs)> owner{first, &::freeifaddrs};
  std::vector<Card> cards;
  for (const ifaddrs* each = first; each != nullptr; each = each->ifa_next) {
    if (each->ifa_addr == nullptr || each->ifa_addr->sa_family != AF_INET) continue;
    if ((each->ifa_flags & IFF_UP) == 0 || each->ifa_netmask == nullptr) continue;
    // An address with a label ("eth0:1") has the card's index all the same.
    const std::string label = each->ifa_name;
    Card card{.index = static_cast<int>(::if_nametoindex(each->ifa_name)),
              .name = label.substr(0, label.find(':')),
              .address = host_in(each->ifa_addr),
              .mask = host_in(each->ifa_netmask),
              .broadcast = {},
              .takes_multicast = (each->ifa_flags & IFF_MULTICAST) != 0,
              .is_loopback = (each->ifa_flags & IFF_LOOPBACK) != 0};
    if (card.index == 0) card.index = static_cast<int>(::if_nametoindex(card.name.c_str()));
    if (card.index == 0) continue;
    if (card.is_loopback) {
      card.broadcast = broadcast_of(card.address, card.mask);
    } else if ((each->ifa_flags & IFF_BROADCAST) != 0) {
      const Host given =
          each->ifa_broadaddr != nullptr ? host_in(each->ifa_broadaddr) : card.address;
      // Where none was given, glibc tells the address itself.
      const bool none = given == Host{} || given == card.address;
      card.broadcast = none ? broadcast_of(card.address, card.mask) : given;
    }
    cards.push_back(std::move(card));
  }
  return cards;
}

}  // namespace panewalk::io
