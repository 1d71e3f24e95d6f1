#pragma once

#include <algorithm>
#include <chrono>
#include <string>
#include <vector>

#include "scan/heard.hpp"
#include "support/hex.hpp"

/// Packets octet by octet from the published tables, and a clock for them.
namespace panewalk::scan::test {

using support::Bytes;
using support::hex;

inline base::Instant at_ms(std::int64_t ms) { return base::Instant{std::chrono::milliseconds{ms}}; }

inline void put(Bytes& packet, std::size_t offset, const std::string& text) {
  std::transform(text.begin(), text.end(), packet.begin() + static_cast<std::ptrdiff_t>(offset),
                 [](char letter) { return static_cast<std::uint8_t>(letter); });
}

inline void put16(Bytes& packet, std::size_t offset, std::uint16_t value) {
  packet[offset] = static_cast<std::uint8_t>(value >> 8U);
  packet[offset + 1] = static_cast<std::uint8_t>(value & 0xffU);
}

struct Data {
  std::uint16_t universe = 1;
  std::uint8_t sequence = 0;
  std::uint8_t cid = 1;  ///< last octet
  std::string name = "quay desk";
  std::uint8_t priority = 100;
  std::uint8_t options = 0;
  std::uint16_t sync = 0;
  std::uint8_t start_code = 0;
};

/// E1.31-2018 Table 4-1, two slots.
inline Bytes data(const Data& of) {
  static const Bytes kTable = hex(R"(
00 10 00 00                                      # 5.1, 5.2
41 53 43 2d 45 31 2e 31 37 00 00 00              # 5.3
70 70 00 00 00 04                                # 5.4 Length 112, 5.5
5a 00 00 00 00 00 40 00 80 00 00 00 00 00 00 00  # 5.6 CID
70 5a 00 00 00 02                                # 6.1 Length 90, 6.2.1
repeat 64 00                                     # 6.2.2 Source Name
00 00 00 00 00 00 00                             # 6.2.3 to 6.2.7, put in below
70 0d 02 a1 00 00 00 01 00 03                    # 7.1 Length 13, 7.2 to 7.6 count 3
00 01 02                                         # 7.7 START Code, slots
)");
  Bytes packet = kTable;
  packet[37] = of.cid;
  put(packet, 44, of.name);
  packet[108] = of.priority;
  put16(packet, 109, of.sync);
  packet[111] = of.sequence;
  packet[112] = of.options;
  put16(packet, 113, of.universe);
  packet[125] = of.start_code;
  return packet;
}

struct Listing {
  std::vector<std::uint16_t> universes;
  std::uint8_t cid = 1;
  std::string name = "quay desk";
  std::uint8_t page = 0;
  std::uint8_t last_page = 0;
};

/// E1.31-2018 Table 4-3.
inline Bytes discovery(const Listing& of) {
  static const Bytes kTable = hex(R"(
00 10 00 00
41 53 43 2d 45 31 2e 31 37 00 00 00
70 00 00 00 00 08                                # 5.4 put in below, 5.5
5a 00 00 00 00 00 40 00 80 00 00 00 00 00 00 00
70 00 00 00 00 02                                # 6.1, 6.4.1
repeat 64 00                                     # 6.4.2
00 00 00 00                                      # 6.4.3
70 00 00 00 00 01                                # 8.1, 8.2
00 00                                            # 8.3, 8.4
)");
  Bytes packet = kTable;
  packet[37] = of.cid;
  put(packet, 44, of.name);
  packet[118] = of.page;
  packet[119] = of.last_page;
  for (const std::uint16_t universe : of.universes) {
    packet.insert(packet.end(), {0, 0});
    put16(packet, packet.size() - 2, universe);
  }
  for (const std::size_t start : {16U, 38U, 112U}) {
    put16(packet, start, static_cast<std::uint16_t>(0x7000U | (packet.size() - start)));
  }
  return packet;
}

/// E1.31-2018 Table 4-2.
inline Bytes sync(std::uint16_t address, std::uint8_t sequence, std::uint8_t cid = 1) {
  static const Bytes kTable = hex(R"(
00 10 00 00
41 53 43 2d 45 31 2e 31 37 00 00 00
70 21 00 00 00 08
5a 00 00 00 00 00 40 00 80 00 00 00 00 00 00 00
70 0b 00 00 00 01
00 00 00 00 00                                   # 6.3.2 to 6.3.4
)");
  Bytes packet = kTable;
  packet[37] = cid;
  packet[44] = sequence;
  put16(packet, 45, address);
  return packet;
}

/// Art-Net 4, table ArtDmx, two slots.
inline Bytes dmx(std::uint16_t port_address, std::uint8_t sequence) {
  static const Bytes kTable = hex("41 72 74 2d 4e 65 74 00 00 50 00 0e 00 00 00 00 00 02 10 20");
  Bytes packet = kTable;
  packet[12] = sequence;
  packet[14] = static_cast<std::uint8_t>(port_address & 0xffU);
  packet[15] = static_cast<std::uint8_t>(port_address >> 8U);
  return packet;
}

inline Bytes art_poll() { return hex("41 72 74 2d 4e 65 74 00 00 20 00 0e 02 00"); }
inline Bytes art_sync() { return hex("41 72 74 2d 4e 65 74 00 00 52 00 0e 00 00"); }

struct Reply {
  std::vector<std::uint16_t> outputs;  ///< of one Net and Sub-Net, at most four
  std::vector<std::uint8_t> good = {};
  std::string name = "slipway";
  std::string long_name = "slipway west";
  std::string report = "#0001 [0007] ok";
  std::uint8_t bind_index = 1;
};

/// Art-Net 4, table ArtPollReply, 239 octets; the node says that it is 10.0.0.20.
inline Bytes reply(const Reply& of) {
  Bytes packet(239, 0);
  const Bytes head = hex("41 72 74 2d 4e 65 74 00 00 21 0a 00 00 14 36 19 01 02");
  std::copy(head.begin(), head.end(), packet.begin());
  put(packet, 26, of.name);
  put(packet, 44, of.long_name);
  put(packet, 108, of.report);
  put16(packet, 172, static_cast<std::uint16_t>(of.outputs.size()));
  for (std::size_t i = 0; i < of.outputs.size(); ++i) {
    packet[18] = static_cast<std::uint8_t>(of.outputs[i] >> 8U);
    packet[19] = static_cast<std::uint8_t>(of.outputs[i] >> 4U & 0xfU);
    packet[174 + i] = 0x80;
    packet[182 + i] = i < of.good.size() ? of.good[i] : std::uint8_t{0x80};
    packet[190 + i] = static_cast<std::uint8_t>(of.outputs[i] & 0xfU);
  }
  packet[211] = of.bind_index;
  packet[212] = 0x08;
  return packet;
}

inline constexpr Ipv4 kDesk{10, 0, 0, 9};
inline constexpr Ipv4 kHere{10, 0, 0, 5};
inline constexpr Ipv4 kNode{10, 0, 0, 20};
inline constexpr Ipv4 kEverybody{10, 0, 0, 255};

inline Self here() {
  return {.cid = packet::Cid::of({0x5a, 0, 0, 0, 0, 0, 0x40, 0, 0x80, 0, 0, 0, 0, 0, 0, 0xee}),
          .addresses = {kHere}};
}

inline constexpr std::uint8_t kOwnCid = 0xee;

inline Asked asked() {
  return {.cards = {{"eth0", kHere}},
          .polled = {kEverybody},
          .pinged = {kNode},
          .groups = {1, 2, 3, 4},
          .troubles = {}};
}

/// Feeds a Heard, by eth0.
class Wire {
 public:
  explicit Wire(Self self = here()) : heard{std::move(self)} {}

  void e131(const Bytes& bytes, std::int64_t ms, Ipv4 from = kDesk,
            std::optional<Ipv4> to = Ipv4{239, 255, 0, 1}) {
    heard.take_e131({.bytes = bytes, .from = from, .to = to, .card = "eth0", .at = at_ms(ms)});
  }
  void artnet(const Bytes& bytes, std::int64_t ms, Ipv4 from = kDesk, Ipv4 to = kEverybody) {
    heard.take_artnet({.bytes = bytes, .from = from, .to = to, .card = "eth0", .at = at_ms(ms)});
  }
  /// 40 a second for `packets` packets from `first_ms` on, numbered from 1.
  void stream(Data of, int packets, std::int64_t first_ms = 0, Ipv4 from = kDesk) {
    for (int i = 0; i < packets; ++i) {
      of.sequence = static_cast<std::uint8_t>(i + 1);
      e131(data(of), first_ms + 25 * i, from);
    }
  }
  [[nodiscard]] Report report() const { return heard.report(asked(), at_ms(0), at_ms(12000)); }

  Heard heard;
};

}  // namespace panewalk::scan::test
