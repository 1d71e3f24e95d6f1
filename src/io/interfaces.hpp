#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/problem.hpp"
#include "base/result.hpp"
#include "io/socket_address.hpp"

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

/// The cards of this machine by name, up or down, in the system's order.
std::vector<std::string> card_names();

/// Where packets to a controller leave this machine.
struct WayOut {
  std::string card;  ///< by name; empty where the system does not tell
  Host address{};    ///< that they come from, not always this card's
  bool operator==(const WayOut&) const = default;
};
/// `interface` is a card's name or its address; without one the system chooses. Sends nothing. The
/// errno where no way leads there.
base::Result<WayOut, int> way_to(const Host& host, const std::optional<std::string>& interface);

/// The directed broadcast address of the net that the card is in: the card that is named, else the
/// one whose net holds `host`; 255.255.255.255 where there is none.
Host broadcast_near(const Host& host, const std::optional<std::string>& interface);

/// That there is no such card, and what there is: its name or its address is in `interface`.
base::Problem no_such_card(const std::string& interface);

}  // namespace panewalk::io
