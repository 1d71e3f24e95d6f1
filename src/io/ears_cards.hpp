#pragma once

#include <optional>
#include <string>
#include <vector>

#include "io/socket_address.hpp"

namespace panewalk::io {

/// An IPv4 address of a network card that is up.
struct Card {
  int index = 0;  ///< the system's, from 1
  std::string name;
  Host address{};
  Host mask{};
  /// Where a packet goes that all of its network are to hear; none on a line between two.
  std::optional<Host> broadcast;
  bool takes_multicast = false;
  bool is_loopback = false;
  bool operator==(const Card&) const = default;
};

/// In the system's order, a card with two addresses twice; empty where it does not tell.
std::vector<Card> cards_that_are_up();

}  // namespace panewalk::io
