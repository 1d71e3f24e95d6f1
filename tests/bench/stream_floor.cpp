#include "bench/stream_floor.hpp"

#include <linux/udp.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>

#include "io/socket_address.hpp"

namespace panewalk::bench {
namespace {

constexpr int kSendBuffer = 1 << 20;  // as the sender has it
constexpr int kHops = 8;
constexpr std::size_t kMostOctets = 65507;  // of a datagram, which a train is until it is cut

[[noreturn]] void give_up(const char* what) {
  std::perror(what);
  std::exit(1);
}

}  // namespace

Floor::Floor(std::span<const engine::OutPacket> packets,
             const std::vector<engine::Destination>& destinations)
    : socket_{::socket(AF_INET, SOCK_DGRAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0)} {
  const int on = 1;
  ::setsockopt(socket_.get(), IPPROTO_IP, IP_RECVERR, &on, sizeof on);
  ::setsockopt(socket_.get(), SOL_SOCKET, SO_SNDBUF, &kSendBuffer, sizeof kSendBuffer);
  ::setsockopt(socket_.get(), IPPROTO_IP, IP_MULTICAST_TTL, &kHops, sizeof kHops);
  for (const engine::OutPacket& packet : packets) {
    const engine::Destination& to = destinations[packet.destination];
    if (!to.controller) continue;
    size_ = packet.bytes.size();
    octets_.insert(octets_.end(), packet.bytes.begin(), packet.bytes.end());
    to_.push_back(io::to_sockaddr(to.host, to.port));
  }
  const std::size_t count = to_.size();
  pieces_.resize(count);
  messages_.resize(count);
  for (std::size_t i = 0; i < count; ++i) {
    pieces_[i] = {.iov_base = octets_.data() + i * size_, .iov_len = size_};
    messages_[i].msg_hdr.msg_name = &to_[i];
    messages_[i].msg_hdr.msg_namelen = sizeof(sockaddr_in);
    messages_[i].msg_hdr.msg_iov = &pieces_[i];
    messages_[i].msg_hdr.msg_iovlen = 1;
  }
  msghdr one{};
  one.msg_control = control_.octets;
  one.msg_controllen = sizeof control_.octets;
  cmsghdr* const part = CMSG_FIRSTHDR(&one);
  part->cmsg_level = IPPROTO_UDP;
  part->cmsg_type = UDP_SEGMENT;
  part->cmsg_len = CMSG_LEN(sizeof(std::uint16_t));
  const auto segment = static_cast<std::uint16_t>(size_);
  std::memcpy(CMSG_DATA(part), &segment, sizeof segment);
  train_pieces_.reserve(count);
  for (std::size_t first = 0; first < count;) {
    const std::size_t most = std::min({count - first, kBatch, kMostOctets / size_});
    std::size_t length = 1;
    while (length < most && to_[first + length].sin_addr.s_addr == to_[first].sin_addr.s_addr) {
      ++length;
    }
    train_pieces_.push_back(
        {.iov_base = octets_.data() + first * size_, .iov_len = length * size_});
    mmsghdr train{};
    train.msg_hdr.msg_name = &to_[first];
    train.msg_hdr.msg_namelen = sizeof(sockaddr_in);
    train.msg_hdr.msg_iov = &train_pieces_.back();
    train.msg_hdr.msg_iovlen = 1;
    train.msg_hdr.msg_control = control_.octets;
    train.msg_hdr.msg_controllen = sizeof control_.octets;
    trains_.push_back(train);
    first += length;
  }
}

void Floor::send_in_batches() { send(socket_.get(), messages_); }
void Floor::send_in_trains() { send(socket_.get(), trains_); }

void Floor::send(int socket, std::vector<mmsghdr>& messages) {
  for (std::size_t done = 0; done < messages.size();) {
    const std::size_t count = std::min(kBatch, messages.size() - done);
    const int taken = ::sendmmsg(socket, &messages[done], static_cast<unsigned>(count),
                                 MSG_DONTWAIT | MSG_NOSIGNAL);
    if (taken < 0) give_up("stream_benchmark: the floor can't send");
    done += static_cast<std::size_t>(taken);
  }
}

}  // namespace panewalk::bench
