#pragma once

#include <algorithm>
#include <cstdint>
#include <span>
#include <string>
#include <variant>

#include "packet/artnet.hpp"
#include "packet/e131.hpp"
#include "support/hex.hpp"

/// What must hold for any octets: a decoder refuses them, or the encoder gives them back. The
/// octets that receivers ignore are set here by hand, at the offsets of the published tables.
namespace panewalk::support {

namespace detail {

inline void fill(Bytes& octets, std::size_t from, std::size_t to, std::uint8_t value = 0) {
  for (std::size_t at = from; at < to; ++at) octets[at] = value;
}

/// Zeros behind the NUL; the whole field where the name was repaired.
inline void end_name(Bytes& octets, std::size_t from, std::size_t to, bool repaired) {
  const auto begin = octets.begin() + static_cast<std::ptrdiff_t>(from);
  const auto end = octets.begin() + static_cast<std::ptrdiff_t>(to);
  std::fill(repaired ? begin : std::find(begin, end, std::uint8_t{0}), end, std::uint8_t{0});
}

template <class Packet>
Bytes encoded(const Packet& packet) {
  Bytes out(packet::kMostSlots * 4);
  const auto size = encode(packet, out);
  out.resize(size.value_or(0));
  return out;
}

inline std::string compared(const Bytes& again, const Bytes& canonical) {
  if (again == canonical) return "";
  return "decoded from\n" + to_hex(canonical) + "\nencoded as\n" + to_hex(again);
}

inline std::string compared(const packet::E131Data& decoded, Bytes octets) {
  Bytes again = encoded(decoded);
  octets[112] &= 0xe0;  // E1.31-2018 6.2.6
  for (Bytes* both : {&octets, &again}) end_name(*both, 44, 108, decoded.source_repaired);
  return compared(again, octets);
}

inline std::string compared(const packet::E131Sync& decoded, Bytes octets) {
  fill(octets, 47, 49);  // E1.31-2018 6.3.4
  return compared(encoded(decoded), octets);
}

inline std::string compared(const packet::E131Discovery& decoded, Bytes octets) {
  Bytes again = encoded(decoded);
  fill(octets, 108, 112);  // E1.31-2018 6.4.3
  for (Bytes* both : {&octets, &again}) end_name(*both, 44, 108, decoded.source_repaired);
  return compared(again, octets);
}

inline void set_version(Bytes& octets) {
  octets[10] = 0;
  octets[11] = 14;
}

inline std::string compared(const packet::ArtDmx& decoded, Bytes octets) {
  set_version(octets);
  return compared(encoded(decoded), octets);
}

inline std::string compared(const packet::ArtSync& decoded, Bytes octets) {
  set_version(octets);
  fill(octets, 12, 14);  // Aux1, Aux2
  return compared(encoded(decoded), octets);
}

inline std::string compared(const packet::ArtPoll& decoded, Bytes octets) {
  set_version(octets);
  octets[12] &= 0x3e;
  octets.resize(std::min<std::size_t>(octets.size(), 22));
  return compared(encoded(decoded), octets);
}

inline std::string compared(const packet::ArtPollReply& decoded, Bytes octets) {
  Bytes again = encoded(decoded);
  // Ends of the fields from BindIp on: one that is cut counts as absent.
  std::size_t whole = 207;
  for (const std::size_t end : {211U, 212U, 213U, 217U, 218U, 224U, 226U, 228U, 229U}) {
    if (octets.size() >= end) whole = end;
  }
  octets.resize(whole);
  octets.resize(239);
  fill(octets, 197, 200);  // Spare
  for (Bytes* both : {&octets, &again}) {
    end_name(*both, 26, 44, decoded.text_repaired);
    end_name(*both, 44, 108, decoded.text_repaired);
    end_name(*both, 108, 172, decoded.text_repaired);
  }
  return compared(again, octets);
}

}  // namespace detail

/// Empty, or how the law was broken.
inline std::string e131_fault(std::span<const std::uint8_t> datagram) {
  const auto decoded = packet::decode_e131(datagram);
  if (!decoded) return to_text(decoded.error()).empty() ? "a refusal without words" : "";
  const Bytes octets{datagram.begin(), datagram.end()};
  return std::visit([&](const auto& packet) { return detail::compared(packet, octets); },
                    decoded.value());
}

/// Empty, or how the law was broken.
inline std::string artnet_fault(std::span<const std::uint8_t> datagram) {
  const auto decoded = packet::decode_artnet(datagram);
  if (!decoded) return to_text(decoded.error()).empty() ? "a refusal without words" : "";
  const Bytes octets{datagram.begin(), datagram.end()};
  return std::visit([&](const auto& packet) { return detail::compared(packet, octets); },
                    decoded.value());
}

}  // namespace panewalk::support
