#include "scan/heard.hpp"

namespace panewalk::scan {
namespace {

// Art-Net 4, table ArtPollReply, PortTypes; that the kind has six bits: from memory.
constexpr unsigned kInput = 0x40;
constexpr unsigned kPortKind = 0x3f;
// GoodOutputA, with the bits as Wireshark 4.0 names them; kTakesE131 from memory.
constexpr unsigned kSending = 0x80;
constexpr unsigned kMerging = 0x08;
constexpr unsigned kShorted = 0x04;
constexpr unsigned kLatest = 0x02;
constexpr unsigned kTakesE131 = 0x01;
// Status2.
constexpr unsigned kLongAddresses = 0x08;

ArtNode::Output output_of(packet::PortAddress address, unsigned good) {
  return {.port_address = address.value(),
          .sending = (good & kSending) != 0,
          .merging = (good & kMerging) != 0,
          .latest = (good & kLatest) != 0,
          .shorted = (good & kShorted) != 0,
          .takes_e131 = (good & kTakesE131) != 0};
}

std::uint16_t input_address(const packet::ArtPollReply& reply, std::size_t port) {
  return static_cast<std::uint16_t>((reply.net_switch & 0x7fU) << 8U |
                                    (reply.sub_switch & 0x0fU) << 4U | (reply.sw_in[port] & 0x0fU));
}

}  // namespace

void Heard::take_artnet(const Arrival& arrival) {
  if (arrival.cut) return strange(packet::kArtNetUdpPort, arrival, packet::DecodeError::kTooLong);
  const auto decoded = packet::decode_artnet(arrival.bytes);
  if (decoded) {
    std::visit([this, &arrival](const auto& packet) { take(packet, arrival); }, decoded.value());
  } else if (decoded.error() == packet::DecodeError::kWrongVector) {
    ++other_artnet_;
  } else {
    strange(packet::kArtNetUdpPort, arrival, decoded.error());
  }
}

void Heard::take(const packet::ArtDmx& dmx, const Arrival& arrival) {
  const Place place{dmx.port_address.value(), arrival.from, card(arrival.card)};
  auto known = art_streams_.find(place);
  if (known == art_streams_.end()) {
    if (art_streams_.size() == limits::kArtStreams) {
      ++beyond_.art_streams;
      return;
    }
    known = art_streams_.try_emplace(place).first;
    ArtStream& told = known->second.told;
    told.port_address = place.number;
    told.from = arrival.from;
    told.card = cards_[place.card];
    told.own = ours(arrival.from);
  }
  ArtStream& told = known->second.told;
  told.slots = static_cast<std::uint16_t>(dmx.slots.size());
  if (!dmx.sequence) ++told.unnumbered;
  count_way(arrival, told.ways);
  known->second.tally.take(arrival.at, dmx.sequence ? dmx.sequence->value() : std::uint8_t{0});
}

ArtCaller* Heard::caller(const Arrival& arrival) {
  const std::pair key{arrival.from, card(arrival.card)};
  const auto known = callers_.find(key);
  if (known != callers_.end()) return &known->second;
  if (callers_.size() == limits::kCallers) {
    ++beyond_.callers;
    return nullptr;
  }
  ArtCaller& added = callers_[key];
  added.from = arrival.from;
  added.card = cards_[key.second];
  added.own = ours(arrival.from);
  return &added;
}

void Heard::take(const packet::ArtSync& /*sync*/, const Arrival& arrival) {
  if (ArtCaller* known = caller(arrival)) ++known->syncs;
}

void Heard::take(const packet::ArtPoll& /*poll*/, const Arrival& arrival) {
  if (ArtCaller* known = caller(arrival)) ++known->polls;
}

void Heard::take(const packet::ArtPollReply& reply, const Arrival& arrival) {
  const NodeKey key{arrival.from, reply.bind_index, reply.net_switch, reply.sub_switch,
                    card(arrival.card)};
  auto known = nodes_.find(key);
  if (known == nodes_.end()) {
    if (nodes_.size() == limits::kNodes) {
      ++beyond_.nodes;
      return;
    }
    known = nodes_.try_emplace(key).first;
  }
  const std::uint64_t replies = known->second.replies + 1;
  ArtNode node{.from = arrival.from,
               .ip = reply.ip,
               .card = cards_[key.card],
               .bind_index = reply.bind_index,
               .port_name = reply.port_name.to_string(),
               .long_name = reply.long_name.to_string(),
               .node_report = reply.node_report.to_string(),
               .mac = reply.mac,
               .version = reply.version,
               .oem = reply.oem,
               .esta_manufacturer = reply.esta_manufacturer,
               .style = reply.style,
               .outputs = {},
               .inputs = {},
               .long_addresses = (reply.status2 & kLongAddresses) != 0,
               .replies = replies,
               .last = arrival.at};
  for (std::size_t port = 0; port < reply.ports; ++port) {
    const unsigned type = reply.port_types[port];
    if (const auto address = reply.output(port)) {
      node.outputs.push_back(output_of(*address, reply.good_output_a[port]));
    }
    if ((type & kInput) != 0 && (type & kPortKind) == 0) {
      node.inputs.push_back(input_address(reply, port));
    }
  }
  known->second = std::move(node);
}

}  // namespace panewalk::scan
