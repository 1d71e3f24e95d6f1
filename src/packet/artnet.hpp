#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <variant>

#include "base/result.hpp"
#include "packet/address.hpp"
#include "packet/art_poll_reply.hpp"
#include "packet/decode_error.hpp"
#include "packet/sequence.hpp"

/// Art-Net 4 packets to octets and back. Nothing here allocates.
///
/// The decoders are exact, with these exceptions, which they take and do not keep:
///   * a ProtVer above 14, as every receiver must;
///   * Aux1 and Aux2 of ArtSync of any value;
///   * in the Flags of ArtPoll the bits without a meaning (7, 6 and 0);
///   * an ArtPoll longer than 22 octets: what follows is of a newer revision. One that ends between
///     14, 18 and 22 is cut short.
/// ArtPollReply: see there.
namespace panewalk::packet {

struct ArtDmx {
  std::optional<ArtSequence> sequence = {};  ///< none: not used by this source
  std::uint8_t physical = 0;
  PortAddress port_address;
  std::span<const std::uint8_t> slots = {};  ///< a view: 2 to 512, even
  bool operator==(const ArtDmx& other) const;
};

struct ArtSync {
  bool operator==(const ArtSync&) const = default;
};

struct ArtPoll {
  bool reply_on_change = false;
  bool send_diagnostics = false;
  bool diagnostics_unicast = false;
  bool vlc_off = false;
  bool targeted = false;
  /// 0x10 low, 0x40 medium, 0x80 high, 0xe0 critical, 0xf0 volatile; only with diagnostics.
  std::uint8_t diagnostics_priority = 0;

  struct Target {
    PortAddress top;
    PortAddress bottom;
    bool operator==(const Target&) const = default;
  };
  struct Product {
    std::uint16_t esta_manufacturer = 0;
    std::uint16_t oem = 0;
    bool operator==(const Product&) const = default;
  };
  std::optional<Target> target = {};    ///< not in a poll of 14 octets, even if it says targeted
  std::optional<Product> product = {};  ///< never without a target
  bool operator==(const ArtPoll&) const = default;
};

using ArtNetPacket = std::variant<ArtDmx, ArtSync, ArtPoll, ArtPollReply>;

/// Octets written, or nothing if `out` is too small. Slots that are not 2 to 512 and even, or a
/// product without a target, are a bug.
std::optional<std::size_t> encode(const ArtDmx& packet, std::span<std::uint8_t> out);
std::optional<std::size_t> encode(const ArtSync& packet, std::span<std::uint8_t> out);
std::optional<std::size_t> encode(const ArtPoll& packet, std::span<std::uint8_t> out);

/// What is decoded views `datagram` for its slots.
base::Result<ArtDmx, DecodeError> decode_art_dmx(std::span<const std::uint8_t> datagram);
base::Result<ArtSync, DecodeError> decode_art_sync(std::span<const std::uint8_t> datagram);
base::Result<ArtPoll, DecodeError> decode_art_poll(std::span<const std::uint8_t> datagram);
/// Any of the four, by its OpCode.
base::Result<ArtNetPacket, DecodeError> decode_artnet(std::span<const std::uint8_t> datagram);

}  // namespace panewalk::packet
