#include "io/ears_socket.hpp"

#include <linux/sock_diag.h>
#include <sys/socket.h>
#include <sys/uio.h>

#include <cerrno>
#include <cstring>

namespace panewalk::io {
namespace {

/// For some thousand packets while this program is kept from running; the kernel gives less where
/// it must.
constexpr int kReceiveBuffer = 4 << 20;

}  // namespace

class EarsSocket::Batch {
 public:
  Batch() {
    for (std::size_t i = 0; i < kBatch; ++i) {
      pieces_[i] = {.iov_base = octets_[i].data(), .iov_len = octets_[i].size()};
    }
  }

  int receive(int socket) {
    for (std::size_t i = 0; i < kBatch; ++i) {
      msghdr& header = messages_[i].msg_hdr;
      header = {};
      header.msg_name = &from_[i];
      header.msg_namelen = sizeof from_[i];
      header.msg_iov = &pieces_[i];
      header.msg_iovlen = 1;
      header.msg_control = notes_[i].octets.data();
      header.msg_controllen = notes_[i].octets.size();
    }
    return ::recvmmsg(socket, messages_.data(), kBatch, MSG_DONTWAIT, nullptr);
  }

  [[nodiscard]] HeardPacket packet(std::size_t i) {
    HeardPacket heard{.bytes = std::span{octets_[i]}.first(messages_[i].msg_len),
                      .cut = (messages_[i].msg_hdr.msg_flags & MSG_TRUNC) != 0,
                      .from = host_of(from_[i]),
                      .from_port = port_of(from_[i]),
                      .to = {},
                      .to_port = 0,
                      .card = 0,
                      .at = {}};
    msghdr& header = messages_[i].msg_hdr;
    for (cmsghdr* note = CMSG_FIRSTHDR(&header); note != nullptr;
         note = CMSG_NXTHDR(&header, note)) {
      if (note->cmsg_level != IPPROTO_IP || note->cmsg_type != IP_PKTINFO) continue;
      in_pktinfo place{};
      std::memcpy(&place, CMSG_DATA(note), sizeof place);
      std::memcpy(heard.to.data(), &place.ipi_addr, heard.to.size());
      heard.card = place.ipi_ifindex;
    }
    return heard;
  }

 private:
  struct Notes {
    alignas(cmsghdr) std::array<std::uint8_t, 128> octets;
  };
  std::array<std::array<std::uint8_t, kMostOctets>, kBatch> octets_{};
  std::array<iovec, kBatch> pieces_{};
  std::array<sockaddr_in, kBatch> from_{};
  std::array<Notes, kBatch> notes_{};
  std::array<mmsghdr, kBatch> messages_{};
};

base::Result<EarsSocket, int> EarsSocket::open(const Host& host, std::uint16_t port,
                                               Shares shares) {
  Handle handle{::socket(AF_INET, SOCK_DGRAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0)};
  if (!handle.is_open()) return errno;
  const int socket = handle.get();
  const int on = 1;
  const int off = 0;
  set_option(socket, SOL_SOCKET, SO_RCVBUF, kReceiveBuffer);
  if (!set_option(socket, IPPROTO_IP, IP_PKTINFO, on)) return errno;
  // Else it would hear each group that any program of this machine has joined.
  if (!set_option(socket, IPPROTO_IP, IP_MULTICAST_ALL, off)) return errno;
  if (!set_option(socket, SOL_SOCKET, SO_BROADCAST, on)) return errno;
  if (shares == Shares::kFromStart && !set_option(socket, SOL_SOCKET, SO_REUSEADDR, on)) {
    return errno;
  }
  sockaddr_in address = to_sockaddr(host, port);
  if (!bind_socket(socket, address) || !local_address(socket, address)) return errno;
  if (shares == Shares::kOnceOurs && !set_option(socket, SOL_SOCKET, SO_REUSEADDR, on)) {
    return errno;
  }
  return EarsSocket{std::move(handle), port_of(address)};
}

int EarsSocket::join(const Host& group, int card) const {
  const ip_mreqn request{
      .imr_multiaddr = to_in_addr(group), .imr_address = {}, .imr_ifindex = card};
  if (set_option(descriptor(), IPPROTO_IP, IP_ADD_MEMBERSHIP, request)) return 0;
  return errno == EADDRINUSE ? 0 : errno;  // joined already
}

void EarsSocket::leave(const Host& group, int card) const {
  const ip_mreqn request{
      .imr_multiaddr = to_in_addr(group), .imr_address = {}, .imr_ifindex = card};
  set_option(descriptor(), IPPROTO_IP, IP_DROP_MEMBERSHIP, request);
}

int EarsSocket::send(std::span<const std::uint8_t> octets, const Host& to, std::uint16_t port,
                     const Card* by) const {
  sockaddr_in address = to_sockaddr(to, port);
  // sendmsg does not write into it.
  iovec piece{.iov_base = const_cast<std::uint8_t*>(octets.data()),  // NOLINT(*-const-cast)
              .iov_len = octets.size()};
  msghdr message{};
  message.msg_name = &address;
  message.msg_namelen = sizeof address;
  message.msg_iov = &piece;
  message.msg_iovlen = 1;
  alignas(cmsghdr) std::array<std::uint8_t, CMSG_SPACE(sizeof(in_pktinfo))> note{};
  if (by != nullptr) {
    message.msg_control = note.data();
    message.msg_controllen = note.size();
    cmsghdr* const head = CMSG_FIRSTHDR(&message);
    head->cmsg_level = IPPROTO_IP;
    head->cmsg_type = IP_PKTINFO;
    head->cmsg_len = CMSG_LEN(sizeof(in_pktinfo));
    const in_pktinfo place{
        .ipi_ifindex = by->index, .ipi_spec_dst = to_in_addr(by->address), .ipi_addr = {}};
    std::memcpy(CMSG_DATA(head), &place, sizeof place);
  }
  // With IP_RECVERR the answer to an earlier packet makes this call fail, once.
  for (int i = 0; i < 2; ++i) {
    if (::sendmsg(descriptor(), &message, MSG_DONTWAIT | MSG_NOSIGNAL) >= 0) return 0;
  }
  return errno;
}

std::shared_ptr<EarsSocket::Batch> EarsSocket::make_batch() { return std::make_shared<Batch>(); }

void EarsSocket::hear(Batch& batch, base::Instant now, const WhenHeard& heard) const {
  const int count = batch.receive(descriptor());
  for (int i = 0; i < count; ++i) {
    HeardPacket packet = batch.packet(static_cast<std::size_t>(i));
    packet.to_port = port_;
    packet.at = now;
    heard(packet);
  }
}

std::uint64_t EarsSocket::dropped() const {
  std::array<std::uint32_t, SK_MEMINFO_VARS> figures{};
  socklen_t size = sizeof figures;
  // From Linux 4.12 on; SO_RXQ_OVFL would tell only with the next packet.
  if (::getsockopt(descriptor(), SOL_SOCKET, SO_MEMINFO, figures.data(), &size) != 0) return 0;
  return figures[SK_MEMINFO_DROPS];
}

}  // namespace panewalk::io
