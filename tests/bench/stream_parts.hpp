#pragma once

#include <memory>

#include "bench/stream_report.hpp"
#include "bench/stream_site.hpp"
#include "io/slices.hpp"
#include "io/udp_sender.hpp"

/// The parts of the streaming benchmark; each measures for itself.
namespace panewalk::bench {

struct Effort {
  bool quick = false;
};

/// Processor time a packet, everything changing, rendering and both limiters included, beside the
/// floors.
Part cost_of_a_packet(Effort effort);
/// A chase beside everything changing, 40 frames a second for real.
Part cost_of_a_chase(Effort effort);
/// The npm packages `dmxnet` and `sacn` beside us.
Part cost_of_others(Effort effort);
/// How late frames are, beside a bare timer in the same minute.
Part lateness(Effort effort);
/// Memory and start of the program beside a minimal one.
Part start_and_memory(Effort effort);
/// Calls of the malloc family in 400 frames of 1 000 universes; in a process of its own.
Part allocations();
/// What that process does: prints the count. Its exit status.
int count_allocations();

/// Frames as the stream thread makes them, but one after another without waiting.
class Frames {
 public:
  Frames(std::unique_ptr<engine::Engine> engine, const std::string& pattern);

  /// Renders one and sends nothing. Valid until the next call.
  std::span<const engine::OutPacket> render();
  /// Renders and sends one; the packets of it.
  std::size_t next();
  /// Until the sender does what it does from then on.
  void warm_up();
  /// The levels of a frame in which every universe is sent.
  [[nodiscard]] std::span<const engine::OutPacket> first() const { return first_; }
  [[nodiscard]] const engine::Engine& engine() const { return *engine_; }
  [[nodiscard]] std::uint64_t failed() const;

 private:
  std::unique_ptr<engine::Engine> engine_;
  io::UdpSender sender_;
  io::Slices slices_;
  base::Instant now_{};
  std::span<const engine::OutPacket> first_;
};

}  // namespace panewalk::bench
