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
  std::optional<Instant> dropped_at;  ///< the last drop
  std::optional<Instant> failing_since;
  std::optional<Instant> recovered_at;
};

/// The destinations that have trouble now, in a snapshot of fixed size.
struct ErrorReport {
  struct Trouble {
    std::uint32_t destination = 0;  ///< index into the engine's destinations()
    std::optional<std::size_t> controller;
    std::array<std::uint8_t, 4> host{};
    std::uint16_t port = 0;
    DestinationState state;
  };
  /// The first ones are listed, all are counted.
  struct List {
    static constexpr std::size_t kMost = 16;
    std::size_t count = 0;
    std::array<Trouble, kMost> first{};
    [[nodiscard]] std::span<const Trouble> listed() const {
      return std::span{first}.first(count < kMost ? count : kMost);
    }
  };

  std::uint64_t packets = 0, dropped = 0, errors = 0;  ///< over all destinations
  List failing;
  List dropping;  ///< that don't fail and lost a packet in the last kQuietAfter
};

/// Sends packets on native sockets that stand in no event loop. After open() it neither allocates
/// nor blocks, and a destination that fails keeps no other from its packets.
class UdpSender {
 public:
  /// Problems point at "/controllers/0/interface" of the site file, or nowhere.
  static base::Result<UdpSender> open(std::span<const engine::Destination> destinations,
                                      const patch::Network& network = {});
  UdpSender(UdpSender&&) noexcept;
  UdpSender& operator=(UdpSender&&) noexcept;
  ~UdpSender();

  void send(std::span<const engine::OutPacket> packets, Instant at);
  /// The same for several stretches of packets, one after the other.
  void send_parts(std::span<const std::span<const engine::OutPacket>> parts, Instant at);
  /// One by one and without keeping count. Safe in a signal handler.
  void send_last(std::span<const engine::OutPacket> packets) const noexcept;

  [[nodiscard]] const DestinationState& state(std::size_t destination) const;
  void report(ErrorReport& report, Instant at) const;

  /// Packets of one size to one destination travel as one message that the kernel or the card cuts.
  /// A queue that drops some of its pieces does not tell, so this begins only where nothing was
  /// dropped for so long, and ends for so long where something was. A card that refuses gets them
  /// one by one.
  static constexpr Duration kSinglyAtFirst = std::chrono::seconds{1};
  static constexpr Duration kSinglyAfterDrop = std::chrono::seconds{10};
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
