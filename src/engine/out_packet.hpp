#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "packet/cid.hpp"
#include "packet/e131.hpp"

namespace panewalk::engine {

/// An address to use instead of the site's.
struct Reroute {
  std::array<std::uint8_t, 4> host{};
  std::uint16_t port = 0;
};

/// Who we are on the network.
struct Identity {
  packet::Cid cid;
  packet::SourceName source_name;
  /// By controller: where its packets go instead, in the practice yard; discovery goes there
  /// too. Empty: to the site's own addresses.
  std::vector<Reroute> reroute;
};

/// One place that packets go to. The sender resolves it to a socket once.
struct Destination {
  std::array<std::uint8_t, 4> host{};
  std::uint16_t port = 0;
  bool multicast = false;
  /// To every machine of the network that has the host; the sender finds its address.
  bool broadcast = false;
  std::optional<std::string> interface;   ///< name or address of the card to send by
  std::optional<std::size_t> controller;  ///< none: universe discovery
};

struct OutPacket {
  std::uint32_t destination = 0;  ///< index into destinations()
  std::span<const std::uint8_t> bytes;
};

}  // namespace panewalk::engine
