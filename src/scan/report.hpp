#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "packet/address.hpp"
#include "packet/cid.hpp"
#include "packet/decode_error.hpp"
#include "scan/tally.hpp"

/// What was heard, as plain values in a stable order. Names are as they came, UTF-8 but with
/// anything in it: `shown` of words.hpp makes them fit for a terminal.
namespace panewalk::scan {

using packet::Ipv4;

/// A network card of this machine.
struct Card {
  std::string name;
  Ipv4 address{};
  bool operator==(const Card&) const = default;
};

/// What the ears did. Filled in by them, told in the report.
struct Asked {
  std::vector<Card> cards;   ///< that were listened on
  std::vector<Ipv4> polled;  ///< where ArtPoll went, broadcast or not
  std::vector<Ipv4> pinged;  ///< who was asked for an ICMP echo
  /// E1.31 universes whose groups were joined, any order; only those joined 2.5 s or more before
  /// the end (E131_NETWORK_DATA_LOSS_TIMEOUT), so that silence in them means something.
  std::vector<std::uint16_t> groups;
  /// What could not be done, in plain words and one line each: "no ping: not permitted".
  std::vector<std::string> troubles;
};

/// How often a stream came by which kind of address.
struct Ways {
  std::uint64_t multicast = 0;
  std::uint64_t broadcast = 0;
  std::uint64_t unicast = 0;  ///< to this machine, or it is not known whereto
  bool operator==(const Ways&) const = default;
};

/// One universe of one source, from one address, by one card.
struct E131Stream {
  std::uint16_t universe = 0;
  Ipv4 from{};
  std::string card;
  // Of the last packet with levels, or of the last one if none had.
  std::uint8_t priority = 0;
  std::optional<std::uint16_t> sync_address;
  bool preview = false;  ///< receivers must not light (E1.31-2018 6.2.6)
  bool terminated = false;
  std::uint16_t slots = 0;
  std::uint64_t levels = 0;  ///< packets with START code 0
  /// START code 0xdd, a priority for each channel: from memory, not of E1.31.
  std::uint64_t channel_priorities = 0;
  std::uint64_t other_codes = 0;  ///< packets with any other START code
  Ways ways;
  Counts counts;
};

struct E131Source {
  packet::Cid cid;
  std::string name;
  bool own = false;                   ///< sends with the CID of this installation
  std::vector<E131Stream> streams;    ///< by universe, address, card
  std::vector<Ipv4> addresses;        ///< that it sends from, ascending, at most 16
  std::vector<std::uint16_t> listed;  ///< by its discovery, ascending
  bool tells = false;                 ///< sends universe discovery
  bool list_complete = true;          ///< every page came and was kept
  std::vector<std::string> tells_by;  ///< the cards that its discovery came by
};

/// Synchronization packets of one address.
struct E131SyncStream {
  packet::Cid cid;
  std::uint16_t address = 0;
  Ipv4 from{};
  std::string card;
  bool own = false;  ///< with the CID of this installation
  Counts counts;
};

/// One ArtPollReply; a node with more than four ports sends several.
struct ArtNode {
  Ipv4 from{};  ///< where the reply came from
  Ipv4 ip{};    ///< what it says of itself
  std::string card;
  std::uint8_t bind_index = 0;
  std::string port_name;
  std::string long_name;
  std::string node_report;
  std::array<std::uint8_t, 6> mac{};
  std::uint16_t version = 0;  ///< of its firmware
  std::uint16_t oem = 0;
  std::uint16_t esta_manufacturer = 0;
  std::uint8_t style = 0;  ///< 0 node, 1 controller
  struct Output {
    std::uint16_t port_address = 0;
    bool sending = false;     ///< data leaves it
    bool merging = false;     ///< two senders are merged
    bool latest = false;      ///< merges by the latest packet, else by the highest level
    bool shorted = false;     ///< found a short at power-up
    bool takes_e131 = false;  ///< is set to E1.31
    bool operator==(const Output&) const = default;
  };
  std::vector<Output> outputs;        ///< DMX512 outputs, as it lists them
  std::vector<std::uint16_t> inputs;  ///< Port-Addresses of its DMX512 inputs
  bool long_addresses = false;        ///< Status2 0x08: 15 bit Port-Addresses
  std::uint64_t replies = 0;
  base::Instant last = {};  ///< when it replied last
};

/// ArtDmx of one Port-Address from one address by one card.
struct ArtStream {
  std::uint16_t port_address = 0;
  Ipv4 from{};
  std::string card;
  bool own = false;  ///< from an address of this machine
  std::uint16_t slots = 0;
  std::uint64_t unnumbered = 0;  ///< packets with sequence 0: losses can't be seen in them
  Ways ways;
  Counts counts;
};

/// Who asks with ArtPoll, or sends ArtSync.
struct ArtCaller {
  Ipv4 from{};
  std::string card;
  bool own = false;
  std::uint64_t polls = 0;
  std::uint64_t syncs = 0;
};

/// How a host showed that it is there.
struct Host {
  Ipv4 address{};
  bool echoed = false;                 ///< answered a ping
  std::vector<std::uint16_t> refused;  ///< UDP ports on which nobody listens, ascending
  bool unreachable = false;            ///< a router, or this machine, knows no way to it
};

/// Packets on one of the two ports that could not be read as what they should be.
struct Stranger {
  std::uint16_t port = 0;  ///< ours: 5568 or 6454
  Ipv4 from{};
  packet::DecodeError error{};
  std::uint64_t packets = 0;
};

/// What came but was more than is kept, in packets.
struct Beyond {
  std::uint64_t sources = 0;
  std::uint64_t streams = 0;
  std::uint64_t listed = 0;  ///< discovery pages
  std::uint64_t syncs = 0;
  std::uint64_t nodes = 0;
  std::uint64_t art_streams = 0;
  std::uint64_t callers = 0;
  std::uint64_t hosts = 0;
  std::uint64_t strangers = 0;
  bool operator==(const Beyond&) const = default;
  [[nodiscard]] std::uint64_t all() const;
};

struct Report {
  base::Instant began;
  base::Instant ended;
  Asked asked;
  std::vector<E131Source> sources;     ///< by CID
  std::vector<E131SyncStream> syncs;   ///< by CID, address, from, card
  std::vector<ArtNode> nodes;          ///< by address, bind index
  std::vector<ArtStream> art_streams;  ///< by Port-Address, address, card
  std::vector<ArtCaller> callers;      ///< by address, card
  std::vector<Host> hosts;             ///< by address
  std::vector<Stranger> strangers;     ///< by port, address
  std::uint64_t other_artnet = 0;      ///< Art-Net packets of other kinds
  Beyond beyond;

  /// Anything at all came in from another machine or program.
  [[nodiscard]] bool heard_anything() const;
};

}  // namespace panewalk::scan
