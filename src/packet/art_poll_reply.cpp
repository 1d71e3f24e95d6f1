#include "packet/art_poll_reply.hpp"

#include <algorithm>

#include "packet/artnet_header.hpp"
#include "packet/artnet_layout.hpp"

namespace panewalk::packet {
namespace {

namespace reply = artnet::reply;

using Octets = std::span<const std::uint8_t>;

constexpr std::uint8_t kOutput = 0x80;
constexpr std::uint8_t kPortKind = 0x3f;  // 0 is DMX512; that these are six bits: from memory

template <std::size_t Size>
void read_array(Reader& in, Field field, std::array<std::uint8_t, Size>& to) {
  std::ranges::copy(in.bytes(field), to.begin());
}

template <std::size_t Size>
bool read_text(Reader& in, Field field, Text<Size>& to) {
  const Octets octets = in.bytes(field);
  if (octets.size() != Size) return false;
  const auto read = Text<Size>::read(octets.template first<Size>());
  to = read.text;
  return read.repaired;
}

}  // namespace

std::optional<PortAddress> ArtPollReply::output(std::size_t index) const {
  PANEWALK_CHECK(index < kPorts);
  if (index >= ports || (port_types[index] & kOutput) == 0 ||
      (port_types[index] & kPortKind) != 0) {
    return std::nullopt;
  }
  const int net = net_switch & 0x7f;
  const int sub_net = sub_switch & 0x0f;
  const int universe = sw_out[index] & 0x0f;
  return PortAddress::from(net << 8 | sub_net << 4 | universe).value();
}

std::optional<std::size_t> encode(const ArtPollReply& packet, std::span<std::uint8_t> out) {
  PANEWALK_CHECK(packet.ports <= ArtPollReply::kPorts);
  Writer writer{out};
  artnet::write_id(writer, artnet::kOpPollReply);
  writer.bytes(reply::kIp, packet.ip)
      .le16(reply::kPort, packet.port)
      .be16(reply::kVersInfo, packet.version)
      .u8(reply::kNetSwitch, packet.net_switch)
      .u8(reply::kSubSwitch, packet.sub_switch)
      .be16(reply::kOem, packet.oem)
      .u8(reply::kUbeaVersion, packet.ubea_version)
      .u8(reply::kStatus1, packet.status1)
      .le16(reply::kEstaMan, packet.esta_manufacturer)
      .padded(reply::kPortName, packet.port_name.octets())
      .padded(reply::kLongName, packet.long_name.octets())
      .padded(reply::kNodeReport, packet.node_report.octets())
      .be16(reply::kNumPorts, packet.ports)
      .bytes(reply::kPortTypes, packet.port_types)
      .bytes(reply::kGoodInput, packet.good_input)
      .bytes(reply::kGoodOutputA, packet.good_output_a)
      .bytes(reply::kSwIn, packet.sw_in)
      .bytes(reply::kSwOut, packet.sw_out)
      .u8(reply::kAcnPriority, packet.acn_priority)
      .u8(reply::kSwMacro, packet.sw_macro)
      .u8(reply::kSwRemote, packet.sw_remote)
      .zeros(reply::kSpare)
      .u8(reply::kStyle, packet.style)
      .bytes(reply::kMac, packet.mac)
      .bytes(reply::kBindIp, packet.bind_ip)
      .u8(reply::kBindIndex, packet.bind_index)
      .u8(reply::kStatus2, packet.status2)
      .bytes(reply::kGoodOutputB, packet.good_output_b)
      .u8(reply::kStatus3, packet.status3)
      .bytes(reply::kDefaultRespUid, packet.default_resp_uid)
      .be16(reply::kUser, packet.user)
      .be16(reply::kRefreshRate, packet.refresh_rate)
      .u8(reply::kBackgroundQueuePolicy, packet.background_queue_policy)
      .zeros(reply::kFiller);
  return writer.size();
}

base::Result<ArtPollReply, DecodeError> decode_art_poll_reply(Octets datagram) {
  Reader in{datagram};
  if (const auto fault = artnet::id_fault(in, artnet::kOpPollReply)) return *fault;
  ArtPollReply packet;
  read_array(in, reply::kIp, packet.ip);
  packet.port = in.le16(reply::kPort);
  packet.version = in.be16(reply::kVersInfo);
  packet.net_switch = in.u8(reply::kNetSwitch);
  packet.sub_switch = in.u8(reply::kSubSwitch);
  packet.oem = in.be16(reply::kOem);
  packet.ubea_version = in.u8(reply::kUbeaVersion);
  packet.status1 = in.u8(reply::kStatus1);
  packet.esta_manufacturer = in.le16(reply::kEstaMan);
  const bool port_name = read_text(in, reply::kPortName, packet.port_name);
  const bool long_name = read_text(in, reply::kLongName, packet.long_name);
  const bool node_report = read_text(in, reply::kNodeReport, packet.node_report);
  packet.text_repaired = port_name || long_name || node_report;
  packet.ports = in.be16(reply::kNumPorts);
  read_array(in, reply::kPortTypes, packet.port_types);
  read_array(in, reply::kGoodInput, packet.good_input);
  read_array(in, reply::kGoodOutputA, packet.good_output_a);
  read_array(in, reply::kSwIn, packet.sw_in);
  read_array(in, reply::kSwOut, packet.sw_out);
  packet.acn_priority = in.u8(reply::kAcnPriority);
  packet.sw_macro = in.u8(reply::kSwMacro);
  packet.sw_remote = in.u8(reply::kSwRemote);
  in.skip(reply::kSpare);
  packet.style = in.u8(reply::kStyle);
  read_array(in, reply::kMac, packet.mac);
  if (!in.ok()) return DecodeError::kTruncated;
  if (packet.ports > ArtPollReply::kPorts) return DecodeError::kOutOfRange;
  // Later revisions added these; past the end the reader gives zeros.
  read_array(in, reply::kBindIp, packet.bind_ip);
  packet.bind_index = in.u8(reply::kBindIndex);
  packet.status2 = in.u8(reply::kStatus2);
  read_array(in, reply::kGoodOutputB, packet.good_output_b);
  packet.status3 = in.u8(reply::kStatus3);
  read_array(in, reply::kDefaultRespUid, packet.default_resp_uid);
  packet.user = in.be16(reply::kUser);
  packet.refresh_rate = in.be16(reply::kRefreshRate);
  packet.background_queue_policy = in.u8(reply::kBackgroundQueuePolicy);
  return packet;
}

}  // namespace panewalk::packet
