#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "base/instant.hpp"
#include "base/result.hpp"
#include "engine/rows.hpp"

namespace panewalk::io {

using base::Duration;
using base::Instant;

/// How it goes with one destination.
struct DestinationState {
  std::uint64_t packets = 0;  ///< taken by the network, which is all that UDP tells
  std::uint64_t dropped = 0;  ///< by this machine, its queues being full
  std::uint64_t errors = 0;   ///< refused by this machine, or answered by an ICMP error
  int error = 0;              ///< the last one's errno, drops included; see in_words()
  Instant error_at{};
  std::optional<Instant> failing_since;
  std::optional<Instant> recovered_at;
};

/// The destinations that fail now, in a snapshot of fixed size.
struct ErrorReport {
  struct Failing {
    std::uint32_t destination = 0;  ///< index into the engine's destinations()
    std::optional<std::size_t> controller;
    std::array<std::uint8_t, 4> host{};
    std::uint16_t port = 0;
    DestinationState state;
  };
  static constexpr std::size_t kMost = 16;

  std::uint64_t packets = 0, dropped = 0, errors = 0;  ///< over all destinations
  std::size_t failing = 0;                             ///< destinations, listed or not
  std::array<Failing, kMost> list{};
  [[nodiscard]] std::span<const Failing> listed() const {
    return std::span{list}.first(failing < kMost ? failing : kMost);
  }
};

/// Sends packets on native sockets that stand in no event loop. After open() it neither allocates
/// nor blocks, and a destination that fails keeps no other from its packets.
class UdpSender {
 public:
  /// Problems point at "/controllers/0/interface" of the site file, or nowhere.
  static base::Result<UdpSender> open(std::span<const engine::Destination> destinations);
  UdpSender(UdpSender&&) noexcept;
  UdpSender& operator=(UdpSender&&) noexcept;
  ~UdpSender();

  void send(std::span<const engine::OutPacket> packets, Instant at);
  /// One by one and without keeping count. Safe in a signal handler.
  void send_last(std::span<const engine::OutPacket> packets) const noexcept;

  [[nodiscard]] const DestinationState& state(std::size_t destination) const;
  void report(ErrorReport& report) const;

  /// sendmmsg takes this many in a call.
  static constexpr std::size_t kBatch = 64;
  /// E1.31 groups lie in 239.255.0.0/16, the local scope of RFC 2365, so they can't leave the site
  /// however far this lets them go.
  static constexpr int kMulticastTtl = 8;
  /// A socket whose network card went away is opened anew at most this often.
  static constexpr Duration kReopenAfter = std::chrono::seconds{1};
  /// An ICMP error comes after its packet and, with ARP, every 3 s at most; so only a longer
  /// silence says that the destination is back.
  static constexpr Duration kQuietAfter = std::chrono::seconds{5};

 private:
  class Block;
  explicit UdpSender(std::unique_ptr<Block> block);
  std::unique_ptr<Block> block_;
};

}  // namespace panewalk::io
