#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <variant>

#include "base/result.hpp"
#include "packet/address.hpp"
#include "packet/cid.hpp"
#include "packet/decode_error.hpp"
#include "packet/sequence.hpp"
#include "packet/text.hpp"

/// E1.31-2018 packets to octets and back. Nothing here allocates.
///
/// The decoders are exact: every length must agree with the datagram, every vector and fixed value
/// must be as published, every number in range. They take, and do not keep:
///   * bits 4 to 0 of Options (6.2.6) and the reserved fields (6.3.4, 6.4.3) of any value;
///   * octets behind the NUL of a source name;
///   * a source name without a NUL or not UTF-8, since receivers light up all the same:
///     `source_repaired` tells.
/// A START code other than 0 is no error: the packet's user must look at it.
namespace panewalk::packet {

/// At most 63 octets (E1.31-2018 6.2.2).
using SourceName = Text<64>;

inline constexpr std::size_t kMostSlots = 512;

/// E1.31-2018 6.2.6.
struct Options {
  bool preview = false;  ///< receivers must not light
  bool stream_terminated = false;
  bool force_synchronization = false;
  bool operator==(const Options&) const = default;
};

/// Bits 4 to 0 are zero.
std::uint8_t to_octet(Options options);

struct E131Data {
  Cid cid;
  SourceName source = {};
  Priority priority = {};
  std::optional<Universe> sync_address = {};  ///< none: not synchronized
  Sequence sequence = {};
  Options options = {};
  Universe universe;
  std::uint8_t start_code = 0;
  std::span<const std::uint8_t> slots = {};  ///< a view, at most 512
  bool source_repaired = false;              ///< by decode; encode ignores it
  bool operator==(const E131Data& other) const;
};

/// E1.31-2018 6.3. The sequence is its own, not that of the data packets.
struct E131Sync {
  Cid cid;
  Sequence sequence = {};
  Universe address;
  bool operator==(const E131Sync&) const = default;
};

/// Up to 512 universes, ascending (E1.31-2018 8.5).
class UniverseList {
 public:
  static constexpr std::size_t kMost = 512;
  /// False, and nothing is added, if the list is full or the universe is not above the last.
  bool append(Universe universe);
  [[nodiscard]] std::size_t size() const { return size_; }
  [[nodiscard]] Universe operator[](std::size_t index) const;
  bool operator==(const UniverseList& other) const {
    return std::equal(numbers_.begin(), numbers_.begin() + size_, other.numbers_.begin(),
                      other.numbers_.begin() + other.size_);
  }

 private:
  std::array<std::uint16_t, kMost> numbers_{};
  std::uint16_t size_ = 0;
};

struct E131Discovery {
  Cid cid;
  SourceName source = {};
  std::uint8_t page = 0;
  std::uint8_t last_page = 0;
  UniverseList universes = {};
  bool source_repaired = false;  ///< by decode; encode ignores it
  bool operator==(const E131Discovery&) const = default;
};

using E131Packet = std::variant<E131Data, E131Sync, E131Discovery>;

/// Octets written, or nothing if `out` is too small. More than 512 slots, or a page past the last,
/// is a bug.
std::optional<std::size_t> encode(const E131Data& packet, std::span<std::uint8_t> out);
std::optional<std::size_t> encode(const E131Sync& packet, std::span<std::uint8_t> out);
std::optional<std::size_t> encode(const E131Discovery& packet, std::span<std::uint8_t> out);

/// What is decoded views `datagram` for its slots.
base::Result<E131Data, DecodeError> decode_e131_data(std::span<const std::uint8_t> datagram);
base::Result<E131Sync, DecodeError> decode_e131_sync(std::span<const std::uint8_t> datagram);
base::Result<E131Discovery, DecodeError> decode_e131_discovery(
    std::span<const std::uint8_t> datagram);
/// Any of the three, by its vectors.
base::Result<E131Packet, DecodeError> decode_e131(std::span<const std::uint8_t> datagram);

}  // namespace panewalk::packet
