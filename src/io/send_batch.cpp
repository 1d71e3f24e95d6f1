#include "io/send_batch.hpp"

#include <netinet/udp.h>

#include <algorithm>
#include <cstring>

namespace panewalk::io {
namespace {

int send_some(int socket, mmsghdr* headers, std::size_t count) {
  return ::sendmmsg(socket, headers, static_cast<unsigned>(count), MSG_DONTWAIT | MSG_NOSIGNAL);
}

}  // namespace

SendBatch::SendBatch()
    : messages_(kMostMessages),
      headers_(kMostMessages),
      singles_(kMostJoined),
      controls_(kMostMessages),
      pieces_(kMostPackets) {}

void SendBatch::clear() { size_ = packets_ = 0; }

bool SendBatch::joins(const engine::OutPacket& packet, bool may_join) const {
  if (!may_join || size_ == 0) return false;
  const Message& last = messages_[size_ - 1];
  return last.destination == packet.destination && last.packets < kMostJoined &&
         pieces_[last.first].iov_len == packet.bytes.size() &&
         (last.packets + 1) * packet.bytes.size() <= kMostOctets;
}

bool SendBatch::add(const engine::OutPacket& packet, const sockaddr_in& to, bool may_join) {
  if (packets_ == kMostPackets) return false;
  const bool joined = joins(packet, may_join);
  if (!joined && size_ == kMostMessages) return false;
  // The kernel only reads what it sends.
  pieces_[packets_] = {.iov_base = const_cast<std::uint8_t*>(packet.bytes.data()),
                       .iov_len = packet.bytes.size()};
  if (!joined) open_message(packet, to);
  const std::size_t at = size_ - 1;
  if (joined && messages_[at].packets == 1) cut_into(at, packet.bytes.size());
  ++messages_[at].packets;
  ++headers_[at].msg_hdr.msg_iovlen;
  ++packets_;
  return true;
}

void SendBatch::open_message(const engine::OutPacket& packet, const sockaddr_in& to) {
  messages_[size_] = {.destination = packet.destination, .first = packets_, .packets = 0};
  msghdr& header = headers_[size_].msg_hdr;
  header = {};
  header.msg_name = const_cast<sockaddr_in*>(&to);
  header.msg_namelen = sizeof to;
  header.msg_iov = &pieces_[packets_];
  ++size_;
}

void SendBatch::cut_into(std::size_t message, std::size_t octets) {
  msghdr& header = headers_[message].msg_hdr;
  header.msg_control = controls_[message].octets.data();
  header.msg_controllen = controls_[message].octets.size();
  cmsghdr* const part = CMSG_FIRSTHDR(&header);
  part->cmsg_level = SOL_UDP;
  part->cmsg_type = UDP_SEGMENT;
  part->cmsg_len = CMSG_LEN(sizeof(std::uint16_t));
  const auto size = static_cast<std::uint16_t>(octets);
  std::memcpy(CMSG_DATA(part), &size, sizeof size);
}

int SendBatch::send(int socket, std::size_t first) {
  return send_some(socket, &headers_[first], size_ - first);
}

int SendBatch::send_singly(int socket, std::size_t message, std::size_t done) {
  const Message& joined = messages_[message];
  const std::size_t count = joined.packets - done;
  for (std::size_t i = 0; i < count; ++i) {
    msghdr& header = singles_[i].msg_hdr;
    header = {};
    header.msg_name = headers_[message].msg_hdr.msg_name;
    header.msg_namelen = headers_[message].msg_hdr.msg_namelen;
    header.msg_iov = &pieces_[joined.first + done + i];
    header.msg_iovlen = 1;
  }
  return send_some(socket, singles_.data(), count);
}

}  // namespace panewalk::io
