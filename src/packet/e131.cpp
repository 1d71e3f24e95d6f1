#include "packet/e131.hpp"

#include "packet/cursor.hpp"
#include "packet/e131_layout.hpp"

namespace panewalk::packet {
namespace {

namespace root = e131::root;
namespace data = e131::data;
namespace sync = e131::sync;
namespace discovery = e131::discovery;

using Octets = std::span<const std::uint8_t>;

constexpr std::uint16_t kPreamble = 0x0010;  // 5.1
constexpr std::array<std::uint8_t, 12> kAcn{
    // 5.3
    0x41, 0x53, 0x43, 0x2d, 0x45, 0x31, 0x2e, 0x31, 0x37, 0x00, 0x00, 0x00};
constexpr std::uint32_t kRootData = 4;            // VECTOR_ROOT_E131_DATA, 5.5
constexpr std::uint32_t kRootExtended = 8;        // VECTOR_ROOT_E131_EXTENDED, 5.5
constexpr std::uint32_t kDataPacket = 2;          // VECTOR_E131_DATA_PACKET, 6.2.1
constexpr std::uint32_t kSyncPacket = 1;          // VECTOR_E131_EXTENDED_SYNCHRONIZATION, 6.3.1
constexpr std::uint32_t kDiscovery = 2;           // VECTOR_E131_EXTENDED_DISCOVERY, 6.4.1
constexpr std::uint32_t kUniverseList = 1;        // VECTOR_UNIVERSE_DISCOVERY_UNIVERSE_LIST, 8.2
constexpr std::uint8_t kSetProperty = 0x02;       // VECTOR_DMP_SET_PROPERTY, 7.2
constexpr std::uint8_t kAddressAndData = 0xa1;    // 7.3
constexpr std::uint8_t kPreviewBit = 0x80;        // 6.2.6
constexpr std::uint8_t kTerminatedBit = 0x40;     // 6.2.6
constexpr std::uint8_t kForceSyncBit = 0x20;      // 6.2.6
constexpr std::uint16_t kPduFlags = 0x7000;       // 5.4, 6.1, 7.1, 8.1
constexpr std::uint16_t kPduLengthBits = 0x0fff;  // the same

std::uint16_t flags_and_length(std::size_t octets) {
  return static_cast<std::uint16_t>(kPduFlags | octets);
}

void write_root(Writer& out, std::size_t datagram, std::uint32_t vector, const Cid& cid) {
  out.be16(root::kPreambleSize, kPreamble)
      .be16(root::kPostambleSize, 0)
      .bytes(root::kIdentifier, kAcn)
      .be16(root::kFlagsAndLength, flags_and_length(datagram - root::kFlagsAndLength.offset))
      .be32(root::kVector, vector)
      .bytes(root::kCid, cid.octets());
}

/// `size` octets follow from the length's field to the end of the datagram.
std::optional<DecodeError> inner_fault(std::uint16_t stated, std::size_t size) {
  if ((stated & ~kPduLengthBits) != kPduFlags) return DecodeError::kWrongFlags;
  if ((stated & kPduLengthBits) != size) return DecodeError::kWrongLength;
  return std::nullopt;
}

std::optional<DecodeError> outer_fault(std::uint16_t stated, std::size_t size) {
  if ((stated & ~kPduLengthBits) != kPduFlags) return DecodeError::kWrongFlags;
  if ((stated & kPduLengthBits) > size) return DecodeError::kTruncated;
  if ((stated & kPduLengthBits) < size) return DecodeError::kTooLong;
  return std::nullopt;
}

struct Root {
  std::uint32_t vector = 0;
  Cid cid = Cid::of({});
};

base::Result<Root, DecodeError> read_root(Reader& in) {
  const std::size_t datagram = in.rest().size();
  const std::uint16_t preamble = in.be16(root::kPreambleSize);
  const std::uint16_t postamble = in.be16(root::kPostambleSize);
  const Octets identifier = in.bytes(root::kIdentifier);
  if (!in.ok()) return DecodeError::kTruncated;
  if (preamble != kPreamble || postamble != 0 || !std::ranges::equal(identifier, kAcn)) {
    return DecodeError::kWrongIdentifier;
  }
  const std::uint16_t length = in.be16(root::kFlagsAndLength);
  const std::uint32_t vector = in.be32(root::kVector);
  const Octets cid = in.bytes(root::kCid);
  if (!in.ok()) return DecodeError::kTruncated;
  if (const auto fault = outer_fault(length, datagram - root::kFlagsAndLength.offset)) {
    return *fault;
  }
  Cid::Octets octets{};
  std::ranges::copy(cid, octets.begin());
  return Root{vector, Cid::of(octets)};
}

SourceName::Read read_name(Octets field) {
  return SourceName::read(field.first<data::kSourceName.size>());
}

Options options_of(std::uint8_t octet) {
  return {.preview = (octet & kPreviewBit) != 0,
          .stream_terminated = (octet & kTerminatedBit) != 0,
          .force_synchronization = (octet & kForceSyncBit) != 0};
}

}  // namespace

std::uint8_t to_octet(Options options) {
  return static_cast<std::uint8_t>((options.preview ? kPreviewBit : 0) |
                                   (options.stream_terminated ? kTerminatedBit : 0) |
                                   (options.force_synchronization ? kForceSyncBit : 0));
}

bool E131Data::operator==(const E131Data& other) const {
  return cid == other.cid && source == other.source && priority == other.priority &&
         sync_address == other.sync_address && sequence == other.sequence &&
         options == other.options && universe == other.universe && start_code == other.start_code &&
         std::ranges::equal(slots, other.slots) && source_repaired == other.source_repaired;
}

bool UniverseList::append(Universe universe) {
  if (size_ == kMost || (size_ > 0 && universe.value() <= numbers_[size_ - 1U])) return false;
  numbers_[size_++] = universe.value();
  return true;
}

Universe UniverseList::operator[](std::size_t index) const {
  PANEWALK_CHECK(index < size_);
  return Universe::from(numbers_[index]).value();
}

std::optional<std::size_t> encode(const E131Data& packet, std::span<std::uint8_t> out) {
  PANEWALK_CHECK(packet.slots.size() <= kMostSlots);
  const std::size_t datagram = data::kSlots.offset + packet.slots.size();
  Writer writer{out};
  write_root(writer, datagram, kRootData, packet.cid);
  writer.be16(data::kFlagsAndLength, flags_and_length(datagram - data::kFlagsAndLength.offset))
      .be32(data::kVector, kDataPacket)
      .padded(data::kSourceName, packet.source.octets())
      .u8(data::kPriority, packet.priority.value())
      .be16(data::kSyncAddress, packet.sync_address ? packet.sync_address->value() : 0)
      .u8(data::kSequence, packet.sequence.value())
      .u8(data::kOptions, to_octet(packet.options))
      .be16(data::kUniverse, packet.universe.value())
      .be16(data::kDmpFlagsAndLength, flags_and_length(datagram - data::kDmpFlagsAndLength.offset))
      .u8(data::kDmpVector, kSetProperty)
      .u8(data::kAddressAndDataType, kAddressAndData)
      .be16(data::kFirstAddress, 0)
      .be16(data::kIncrement, 1)
      .be16(data::kValueCount, static_cast<std::uint16_t>(1 + packet.slots.size()))
      .u8(data::kStartCode, packet.start_code)
      .bytes({data::kSlots.offset, packet.slots.size()}, packet.slots);
  return writer.size();
}

std::optional<std::size_t> encode(const E131Sync& packet, std::span<std::uint8_t> out) {
  constexpr std::size_t kDatagram = sync::kReserved.end();
  Writer writer{out};
  write_root(writer, kDatagram, kRootExtended, packet.cid);
  writer.be16(sync::kFlagsAndLength, flags_and_length(kDatagram - sync::kFlagsAndLength.offset))
      .be32(sync::kVector, kSyncPacket)
      .u8(sync::kSequence, packet.sequence.value())
      .be16(sync::kAddress, packet.address.value())
      .zeros(sync::kReserved);
  return writer.size();
}

std::optional<std::size_t> encode(const E131Discovery& packet, std::span<std::uint8_t> out) {
  PANEWALK_CHECK(packet.page <= packet.last_page);
  const std::size_t datagram = discovery::kList.offset + 2 * packet.universes.size();
  Writer writer{out};
  write_root(writer, datagram, kRootExtended, packet.cid);
  writer
      .be16(discovery::kFlagsAndLength,
            flags_and_length(datagram - discovery::kFlagsAndLength.offset))
      .be32(discovery::kVector, kDiscovery)
      .padded(discovery::kSourceName, packet.source.octets())
      .zeros(discovery::kReserved)
      .be16(discovery::kListFlagsAndLength,
            flags_and_length(datagram - discovery::kListFlagsAndLength.offset))
      .be32(discovery::kListVector, kUniverseList)
      .u8(discovery::kPage, packet.page)
      .u8(discovery::kLastPage, packet.last_page);
  for (std::size_t i = 0; i < packet.universes.size(); ++i) {
    writer.be16({discovery::kList.offset + 2 * i, 2}, packet.universes[i].value());
  }
  return writer.size();
}

base::Result<E131Data, DecodeError> decode_e131_data(Octets datagram) {
  Reader in{datagram};
  const auto outer = read_root(in);
  if (!outer) return outer.error();
  if (outer.value().vector != kRootData) return DecodeError::kWrongVector;
  const std::uint16_t length = in.be16(data::kFlagsAndLength);
  const std::uint32_t vector = in.be32(data::kVector);
  const Octets name = in.bytes(data::kSourceName);
  const auto priority = Priority::from(in.u8(data::kPriority));
  const std::uint16_t sync_address = in.be16(data::kSyncAddress);
  const Sequence sequence = Sequence::of(in.u8(data::kSequence));
  const Options options = options_of(in.u8(data::kOptions));
  const auto universe = Universe::from(in.be16(data::kUniverse));
  const std::uint16_t dmp_length = in.be16(data::kDmpFlagsAndLength);
  const std::uint8_t dmp_vector = in.u8(data::kDmpVector);
  const std::uint8_t data_type = in.u8(data::kAddressAndDataType);
  const std::uint16_t first = in.be16(data::kFirstAddress);
  const std::uint16_t increment = in.be16(data::kIncrement);
  const std::uint16_t count = in.be16(data::kValueCount);
  const std::uint8_t start_code = in.u8(data::kStartCode);
  if (!in.ok()) return DecodeError::kTruncated;
  if (const auto fault = inner_fault(length, datagram.size() - data::kFlagsAndLength.offset)) {
    return *fault;
  }
  if (vector != kDataPacket) return DecodeError::kWrongVector;
  if (const auto fault =
          inner_fault(dmp_length, datagram.size() - data::kDmpFlagsAndLength.offset)) {
    return *fault;
  }
  if (dmp_vector != kSetProperty) return DecodeError::kWrongVector;
  if (data_type != kAddressAndData || first != 0 || increment != 1) {
    return DecodeError::kWrongFixedValue;
  }
  if (count < 1 || count > 1 + kMostSlots) return DecodeError::kOutOfRange;
  if (count != 1 + in.rest().size()) return DecodeError::kWrongLength;
  if (!priority || !universe) return DecodeError::kOutOfRange;
  E131Data packet{.cid = outer.value().cid,
                  .priority = priority.value(),
                  .sequence = sequence,
                  .options = options,
                  .universe = universe.value(),
                  .start_code = start_code,
                  .slots = in.rest()};
  if (sync_address != 0) {
    const auto address = Universe::from(sync_address);
    if (!address) return DecodeError::kOutOfRange;
    packet.sync_address = address.value();
  }
  const SourceName::Read source = read_name(name);
  packet.source = source.text;
  packet.source_repaired = source.repaired;
  return packet;
}

base::Result<E131Sync, DecodeError> decode_e131_sync(Octets datagram) {
  Reader in{datagram};
  const auto outer = read_root(in);
  if (!outer) return outer.error();
  if (outer.value().vector != kRootExtended) return DecodeError::kWrongVector;
  const std::uint16_t length = in.be16(sync::kFlagsAndLength);
  const std::uint32_t vector = in.be32(sync::kVector);
  if (in.ok() && vector != kSyncPacket) return DecodeError::kWrongVector;
  const Sequence sequence = Sequence::of(in.u8(sync::kSequence));
  const auto address = Universe::from(in.be16(sync::kAddress));
  in.skip(sync::kReserved);
  if (!in.ok()) return DecodeError::kTruncated;
  if (!in.rest().empty()) return DecodeError::kTooLong;
  if (const auto fault = inner_fault(length, datagram.size() - sync::kFlagsAndLength.offset)) {
    return *fault;
  }
  if (!address) return DecodeError::kOutOfRange;
  return E131Sync{outer.value().cid, sequence, address.value()};
}

base::Result<E131Discovery, DecodeError> decode_e131_discovery(Octets datagram) {
  Reader in{datagram};
  const auto outer = read_root(in);
  if (!outer) return outer.error();
  if (outer.value().vector != kRootExtended) return DecodeError::kWrongVector;
  const std::uint16_t length = in.be16(discovery::kFlagsAndLength);
  const std::uint32_t vector = in.be32(discovery::kVector);
  if (in.ok() && vector != kDiscovery) return DecodeError::kWrongVector;
  const Octets name = in.bytes(discovery::kSourceName);
  in.skip(discovery::kReserved);
  const std::uint16_t list_length = in.be16(discovery::kListFlagsAndLength);
  const std::uint32_t list_vector = in.be32(discovery::kListVector);
  const std::uint8_t page = in.u8(discovery::kPage);
  const std::uint8_t last_page = in.u8(discovery::kLastPage);
  if (!in.ok()) return DecodeError::kTruncated;
  if (in.rest().size() > discovery::kList.size) return DecodeError::kTooLong;
  if (const auto fault = inner_fault(length, datagram.size() - discovery::kFlagsAndLength.offset)) {
    return *fault;
  }
  if (const auto fault =
          inner_fault(list_length, datagram.size() - discovery::kListFlagsAndLength.offset)) {
    return *fault;
  }
  if (list_vector != kUniverseList) return DecodeError::kWrongVector;
  if (in.rest().size() % 2 != 0) return DecodeError::kWrongLength;
  if (page > last_page) return DecodeError::kOutOfRange;
  const SourceName::Read source = read_name(name);
  E131Discovery packet{.cid = outer.value().cid,
                       .source = source.text,
                       .page = page,
                       .last_page = last_page,
                       .source_repaired = source.repaired};
  const std::size_t listed = in.rest().size() / 2;
  for (std::size_t i = 0; i < listed; ++i) {
    const auto universe = Universe::from(in.be16({discovery::kList.offset + 2 * i, 2}));
    if (!universe) return DecodeError::kOutOfRange;
    if (!packet.universes.append(universe.value())) return DecodeError::kNotAscending;
  }
  return packet;
}

base::Result<E131Packet, DecodeError> decode_e131(Octets datagram) {
  Reader in{datagram};
  const auto outer = read_root(in);
  if (!outer) return outer.error();
  const auto whole = [](const auto& decoded) -> base::Result<E131Packet, DecodeError> {
    if (!decoded) return decoded.error();
    return E131Packet{decoded.value()};
  };
  if (outer.value().vector == kRootData) return whole(decode_e131_data(datagram));
  if (outer.value().vector != kRootExtended) return DecodeError::kWrongVector;
  in.skip(sync::kFlagsAndLength);
  if (in.be32(sync::kVector) == kSyncPacket) return whole(decode_e131_sync(datagram));
  return whole(decode_e131_discovery(datagram));
}

}  // namespace panewalk::packet
