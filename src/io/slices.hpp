#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "engine/out_packet.hpp"
#include "engine/plan.hpp"
#include "io/clock.hpp"

namespace panewalk::io {

/// Cuts the packets of a frame into slices that follow each other with a pause between them, so
/// that queues of cheap links and receivers with little room lose nothing. After the constructor
/// nothing allocates.
class Slices {
 public:
  using Packets = std::span<const engine::OutPacket>;

  Slices(std::span<const engine::Destination> destinations, const engine::Plan& plan);

  /// A frame's packets, those of a controller next to each other, and the time to the next one. The
  /// number of slices, at least 1.
  std::size_t cut(Packets packets, Duration time);
  /// What slice `index`, from 0, sends: in this order, valid until the next call.
  [[nodiscard]] std::span<const Packets> slice(std::size_t index);

  /// More packets than this are cut even where no controller asks for it: as many as there may be
  /// in a slice where a link of 100 Mb/s could carry the frame. Where it could not, the link is a
  /// faster one, and kMost slices are enough.
  static constexpr std::size_t kPackets = 32;
  static constexpr std::size_t kMost = 4;
  /// A packet of 638 octets on a link of 100 Mb/s, with 66 for UDP, IPv4 and Ethernet (IEEE 802.3:
  /// preamble, header, check sequence and gap).
  static constexpr Duration kPacketOnSlowLink = std::chrono::nanoseconds{56'320};
  /// A controller's burst gives at most this many; then more packets than it says come at once.
  static constexpr std::size_t kMostByBurst = 32;

 private:
  /// Packets of one controller.
  struct Run {
    std::size_t first = 0, count = 0;
    std::optional<int> burst;
  };

  std::vector<std::optional<std::size_t>> controller_of_;  // by destination
  std::vector<std::optional<int>> bursts_;                 // by controller
  Packets packets_;
  std::size_t slices_ = 1;
  std::vector<Run> runs_;
  std::vector<Packets> parts_;
};

}  // namespace panewalk::io
