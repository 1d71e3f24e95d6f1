#include "packet/artnet.hpp"

#include <algorithm>

#include "packet/artnet_header.hpp"
#include "packet/artnet_layout.hpp"

namespace panewalk::packet {
namespace {

namespace dmx = artnet::dmx;
namespace poll = artnet::poll;
namespace sync = artnet::sync;

using Octets = std::span<const std::uint8_t>;

constexpr std::size_t kLeastData = 2;
constexpr std::size_t kMostData = dmx::kData.size;

// Flags of ArtPoll.
constexpr std::uint8_t kReplyOnChange = 0x02;
constexpr std::uint8_t kSendDiagnostics = 0x04;
constexpr std::uint8_t kDiagnosticsUnicast = 0x08;
constexpr std::uint8_t kVlcOff = 0x10;
constexpr std::uint8_t kTargeted = 0x20;

constexpr bool carries(std::size_t octets) {
  return octets >= kLeastData && octets <= kMostData && octets % 2 == 0;
}

Writer& write_header(Writer& out, std::uint16_t op_code) {
  artnet::write_id(out, op_code);
  return out.be16(artnet::kProtVer, artnet::kProtocolVersion);
}

std::optional<DecodeError> header_fault(Reader& in, std::uint16_t op_code) {
  if (const auto fault = artnet::id_fault(in, op_code)) return fault;
  const std::uint16_t version = in.be16(artnet::kProtVer);
  if (!in.ok()) return DecodeError::kTruncated;
  if (version < artnet::kProtocolVersion) return DecodeError::kWrongVersion;
  return std::nullopt;
}

}  // namespace

void artnet::write_id(Writer& out, std::uint16_t op_code) {
  out.bytes(kId, kArtNetId).le16(kOpCode, op_code);
}

std::optional<DecodeError> artnet::id_fault(Reader& in, std::uint16_t op_code) {
  const Octets id = in.bytes(kId);
  if (!in.ok()) return DecodeError::kTruncated;
  if (!std::ranges::equal(id, kArtNetId)) return DecodeError::kWrongIdentifier;
  const std::uint16_t found = in.le16(kOpCode);
  if (!in.ok()) return DecodeError::kTruncated;
  if (found != op_code) return DecodeError::kWrongVector;
  return std::nullopt;
}

bool ArtDmx::operator==(const ArtDmx& other) const {
  return sequence == other.sequence && physical == other.physical &&
         port_address == other.port_address && std::ranges::equal(slots, other.slots);
}

std::optional<std::size_t> encode(const ArtDmx& packet, std::span<std::uint8_t> out) {
  PANEWALK_CHECK(carries(packet.slots.size()));
  Writer writer{out};
  write_header(writer, artnet::kOpDmx)
      .u8(dmx::kSequence, packet.sequence ? packet.sequence->value() : std::uint8_t{0})
      .u8(dmx::kPhysical, packet.physical)
      .u8(dmx::kSubUni, packet.port_address.sub_uni())
      .u8(dmx::kNet, packet.port_address.net())
      .be16(dmx::kLength, static_cast<std::uint16_t>(packet.slots.size()))
      .bytes({dmx::kData.offset, packet.slots.size()}, packet.slots);
  return writer.size();
}

std::optional<std::size_t> encode(const ArtSync& /*packet*/, std::span<std::uint8_t> out) {
  Writer writer{out};
  write_header(writer, artnet::kOpSync).zeros(sync::kAux1).zeros(sync::kAux2);
  return writer.size();
}

std::optional<std::size_t> encode(const ArtPoll& packet, std::span<std::uint8_t> out) {
  PANEWALK_CHECK(packet.target || !packet.product);
  const int flags = (packet.reply_on_change ? kReplyOnChange : 0) |
                    (packet.send_diagnostics ? kSendDiagnostics : 0) |
                    (packet.diagnostics_unicast ? kDiagnosticsUnicast : 0) |
                    (packet.vlc_off ? kVlcOff : 0) | (packet.targeted ? kTargeted : 0);
  Writer writer{out};
  write_header(writer, artnet::kOpPoll)
      .u8(poll::kFlags, static_cast<std::uint8_t>(flags))
      .u8(poll::kDiagPriority, packet.diagnostics_priority);
  if (packet.target) {
    writer.be16(poll::kTargetTop, packet.target->top.value())
        .be16(poll::kTargetBottom, packet.target->bottom.value());
  }
  if (packet.product) {
    writer.be16(poll::kEstaMan, packet.product->esta_manufacturer)
        .be16(poll::kOem, packet.product->oem);
  }
  return writer.size();
}

base::Result<ArtDmx, DecodeError> decode_art_dmx(Octets datagram) {
  Reader in{datagram};
  if (const auto fault = header_fault(in, artnet::kOpDmx)) return *fault;
  const auto sequence = ArtSequence::from_octet(in.u8(dmx::kSequence));
  const std::uint8_t physical = in.u8(dmx::kPhysical);
  const std::uint8_t sub_uni = in.u8(dmx::kSubUni);
  const std::uint8_t net = in.u8(dmx::kNet);
  const std::uint16_t length = in.be16(dmx::kLength);
  if (!in.ok()) return DecodeError::kTruncated;
  const auto address = PortAddress::from(net << 8U | sub_uni);
  if (!address || !carries(length)) return DecodeError::kOutOfRange;
  if (in.rest().size() < length) return DecodeError::kTruncated;
  if (in.rest().size() > length) return DecodeError::kTooLong;
  return ArtDmx{.sequence = sequence,
                .physical = physical,
                .port_address = address.value(),
                .slots = in.rest()};
}

base::Result<ArtSync, DecodeError> decode_art_sync(Octets datagram) {
  Reader in{datagram};
  if (const auto fault = header_fault(in, artnet::kOpSync)) return *fault;
  in.skip(sync::kAux1);
  in.skip(sync::kAux2);
  if (!in.ok()) return DecodeError::kTruncated;
  if (!in.rest().empty()) return DecodeError::kTooLong;
  return ArtSync{};
}

base::Result<ArtPoll, DecodeError> decode_art_poll(Octets datagram) {
  Reader in{datagram};
  if (const auto fault = header_fault(in, artnet::kOpPoll)) return *fault;
  const std::uint8_t flags = in.u8(poll::kFlags);
  ArtPoll packet{.reply_on_change = (flags & kReplyOnChange) != 0,
                 .send_diagnostics = (flags & kSendDiagnostics) != 0,
                 .diagnostics_unicast = (flags & kDiagnosticsUnicast) != 0,
                 .vlc_off = (flags & kVlcOff) != 0,
                 .targeted = (flags & kTargeted) != 0,
                 .diagnostics_priority = in.u8(poll::kDiagPriority)};
  if (in.ok() && !in.rest().empty()) {
    const auto top = PortAddress::from(in.be16(poll::kTargetTop));
    const auto bottom = PortAddress::from(in.be16(poll::kTargetBottom));
    if (in.ok() && (!top || !bottom)) return DecodeError::kOutOfRange;
    if (in.ok()) packet.target = ArtPoll::Target{top.value(), bottom.value()};
  }
  if (in.ok() && !in.rest().empty()) {
    const std::uint16_t esta_manufacturer = in.be16(poll::kEstaMan);
    packet.product = ArtPoll::Product{esta_manufacturer, in.be16(poll::kOem)};
  }
  if (!in.ok()) return DecodeError::kTruncated;
  return packet;
}

base::Result<ArtNetPacket, DecodeError> decode_artnet(Octets datagram) {
  if (datagram.size() < artnet::kOpCode.end()) return DecodeError::kTruncated;
  const auto whole = [](const auto& decoded) -> base::Result<ArtNetPacket, DecodeError> {
    if (!decoded) return decoded.error();
    return ArtNetPacket{decoded.value()};
  };
  // A wrong Id is found by whichever decoder looks.
  switch (datagram[artnet::kOpCode.offset] | datagram[artnet::kOpCode.offset + 1] << 8U) {
    case artnet::kOpDmx: return whole(decode_art_dmx(datagram));
    case artnet::kOpSync: return whole(decode_art_sync(datagram));
    case artnet::kOpPoll: return whole(decode_art_poll(datagram));
    default: return whole(decode_art_poll_reply(datagram));
  }
}

}  // namespace panewalk::packet
