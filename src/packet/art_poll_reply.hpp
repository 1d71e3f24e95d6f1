#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>

#include "base/result.hpp"
#include "packet/address.hpp"
#include "packet/decode_error.hpp"
#include "packet/text.hpp"

namespace panewalk::packet {

/// What a node says of itself. Art-Net 4, table ArtPollReply; names follow it.
struct ArtPollReply {
  static constexpr std::size_t kPorts = 4;
  using PerPort = std::array<std::uint8_t, kPorts>;

  Ipv4 ip = {};
  std::uint16_t port = kArtNetUdpPort;
  std::uint16_t version = 0;
  std::uint8_t net_switch = 0;  ///< Port-Address bits 14 to 8 in its low 7 bits
  std::uint8_t sub_switch = 0;  ///< Port-Address bits 7 to 4 in its low 4 bits
  std::uint16_t oem = 0x00ff;   ///< OemUnknown, from memory
  std::uint8_t ubea_version = 0;
  std::uint8_t status1 = 0;
  std::uint16_t esta_manufacturer = 0;
  Text<18> port_name = {};
  Text<64> long_name = {};
  Text<64> node_report = {};
  std::uint16_t ports = 0;  ///< 0 to 4
  PerPort port_types = {};  ///< 0x80 output, 0x40 input, low bits 0 for DMX512
  PerPort good_input = {};
  PerPort good_output_a = {};
  PerPort sw_in = {};   ///< Port-Address bits 3 to 0 in the low 4 bits
  PerPort sw_out = {};  ///< the same
  std::uint8_t acn_priority = 0;
  std::uint8_t sw_macro = 0;
  std::uint8_t sw_remote = 0;
  std::uint8_t style = 0;  ///< 0 node, 1 controller
  std::array<std::uint8_t, 6> mac = {};
  Ipv4 bind_ip = {};
  std::uint8_t bind_index = 0;
  std::uint8_t status2 = 0;  ///< 0x08: 15 bit Port-Addresses
  PerPort good_output_b = {};
  std::uint8_t status3 = 0;
  std::array<std::uint8_t, 6> default_resp_uid = {};
  std::uint16_t user = 0;
  std::uint16_t refresh_rate = 0;  ///< per second; 0 to 44 is the rate of DMX512
  std::uint8_t background_queue_policy = 0;
  bool text_repaired = false;  ///< by decode; encode ignores it
  bool operator==(const ArtPollReply&) const = default;

  /// The Port-Address that port 0 to 3 puts out, if it puts out DMX512.
  [[nodiscard]] std::optional<PortAddress> output(std::size_t index) const;
};

/// Octets written, always 239, or nothing if `out` is too small. More than 4 ports is a bug.
std::optional<std::size_t> encode(const ArtPollReply& packet, std::span<std::uint8_t> out);

/// From 207 octets, the oldest revision, upwards. Fields that the datagram does not hold whole are
/// zero; the spare and filler octets, and what follows octet 239, may be anything. Texts are taken
/// as Text::read says. More than 4 ports are refused.
base::Result<ArtPollReply, DecodeError> decode_art_poll_reply(
    std::span<const std::uint8_t> datagram);

}  // namespace panewalk::packet
