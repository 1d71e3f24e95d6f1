#pragma once

#include <netinet/in.h>
#include <sys/socket.h>
#include <sys/uio.h>

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "engine/out_packet.hpp"

namespace panewalk::io {

/// Packets on their way into one sendmmsg. Packets of one size that follow each other to one
/// destination may travel as one message, which the kernel or the network card cuts again
/// (UDP_SEGMENT, Linux 4.18). After the constructor nothing allocates.
class SendBatch {
 public:
  static constexpr std::size_t kMostMessages = 64;
  static constexpr std::size_t kMostPackets = 1024;
  /// UDP_MAX_SEGMENTS of Linux 4.18; later ones take more.
  static constexpr std::size_t kMostJoined = 64;
  /// A UDP payload is at most 65 507 octets.
  static constexpr std::size_t kMostOctets = 65'507;

  struct Message {
    std::uint32_t destination = 0;
    std::size_t first = 0, packets = 0;  ///< of the batch
  };

  SendBatch();

  void clear();
  [[nodiscard]] std::size_t size() const { return size_; }
  /// In the order of sending.
  [[nodiscard]] const Message& message(std::size_t index) const { return messages_[index]; }
  /// False where there is no room any more. `to` must stay where it is until clear().
  [[nodiscard]] bool add(const engine::OutPacket& packet, const sockaddr_in& to, bool may_join);
  /// The number of messages from `first` on that the network took, or -1 and errno. Never blocks.
  [[nodiscard]] int send(int socket, std::size_t first);
  /// The same for the packets of one message, each by itself, from its packet `done` on.
  [[nodiscard]] int send_singly(int socket, std::size_t message, std::size_t done);

 private:
  [[nodiscard]] bool joins(const engine::OutPacket& packet, bool may_join) const;
  void open_message(const engine::OutPacket& packet, const sockaddr_in& to);
  void cut_into(std::size_t message, std::size_t octets);

  struct alignas(cmsghdr) Control {
    std::array<unsigned char, CMSG_SPACE(sizeof(std::uint16_t))> octets{};
  };
  std::vector<Message> messages_;
  std::vector<mmsghdr> headers_, singles_;
  std::vector<Control> controls_;
  std::vector<iovec> pieces_;
  std::size_t size_ = 0, packets_ = 0;
};

}  // namespace panewalk::io
