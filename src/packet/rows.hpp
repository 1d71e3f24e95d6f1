#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>

#include "packet/artnet.hpp"
#include "packet/cadence.hpp"
#include "packet/e131.hpp"

/// Packets of the stream, ready-made: the header is written once, a frame changes the sequence, the
/// options and the slots. Nothing allocates; a copy is a packet of its own.
namespace panewalk::packet {

/// One universe's E1.31 data packet.
class E131Row {
 public:
  struct Header {
    Cid cid;
    SourceName source = {};
    Priority priority = {};
    Universe universe;
    std::optional<Universe> sync_address = {};
  };
  /// All slots 0. More than 512 is a bug.
  E131Row(const Header& header, std::size_t slots);

  /// One more, modulo 256 (E1.31-2018 6.2.5). The first step gives 0.
  E131Row& step();
  E131Row& options(Options options);
  /// To write into.
  [[nodiscard]] std::span<std::uint8_t> slots();
  /// Copies as many slots as the row has, no more and no fewer, and tells if any of them changed.
  Content fill(std::span<const std::uint8_t> slots);

  [[nodiscard]] Sequence sequence() const;
  [[nodiscard]] Universe universe() const { return universe_; }
  /// The whole datagram.
  [[nodiscard]] std::span<const std::uint8_t> bytes() const {
    return std::span{bytes_}.first(size_);
  }

 private:
  std::array<std::uint8_t, 638> bytes_{};
  std::uint16_t size_ = 0;
  Universe universe_;
};

/// One Port-Address's ArtDmx packet.
class ArtDmxRow {
 public:
  /// All slots 0. Since Length is even and at least 2, the packet may hold one or two slots more
  /// than the row; they stay 0. More than 512 is a bug.
  ArtDmxRow(PortAddress port_address, std::size_t slots);

  /// 1 to 255, then 1. The first step gives 1.
  ArtDmxRow& step();
  /// To write into.
  [[nodiscard]] std::span<std::uint8_t> slots();
  /// Copies as many slots as the row has, no more and no fewer, and tells if any of them changed.
  Content fill(std::span<const std::uint8_t> slots);

  [[nodiscard]] ArtSequence sequence() const;
  [[nodiscard]] PortAddress port_address() const { return port_address_; }
  /// The whole datagram.
  [[nodiscard]] std::span<const std::uint8_t> bytes() const {
    return std::span{bytes_}.first(size_);
  }

 private:
  std::array<std::uint8_t, 530> bytes_{};
  std::uint16_t size_ = 0;
  std::uint16_t slots_ = 0;
  PortAddress port_address_;
};

}  // namespace panewalk::packet
