#pragma once

#include <netinet/in.h>
#include <sys/socket.h>

#include <cstdint>
#include <vector>

#include "engine/rows.hpp"
#include "io/handle.hpp"

namespace panewalk::bench {

/// The least that the same packets cost on the same socket: they are ready, nothing is rendered or
/// counted, no answer is read.
class Floor {
 public:
  /// The levels among `packets` are copied, discovery left out. Consecutive packets to one address
  /// make up a train.
  Floor(std::span<const engine::OutPacket> packets,
        const std::vector<engine::Destination>& destinations);
  Floor(const Floor&) = delete;
  Floor& operator=(const Floor&) = delete;

  [[nodiscard]] std::size_t packets() const { return messages_.size(); }
  /// One frame by sendmmsg, 64 packets a call.
  void send_in_batches();
  /// One frame by UDP_SEGMENT: trains of up to 64 packets, 64 trains a call. Unicast only.
  void send_in_trains();

  static constexpr std::size_t kBatch = 64;

 private:
  static void send(int socket, std::vector<mmsghdr>& messages);

  io::Handle socket_;
  std::size_t size_ = 0;              // octets of a packet
  std::vector<std::uint8_t> octets_;  // packet after packet
  std::vector<sockaddr_in> to_;       // by packet
  std::vector<iovec> pieces_, train_pieces_;
  std::vector<mmsghdr> messages_, trains_;
  struct alignas(cmsghdr) Control {
    std::uint8_t octets[CMSG_SPACE(sizeof(std::uint16_t))];
  };
  Control control_{};  // the same for each train
};

}  // namespace panewalk::bench
