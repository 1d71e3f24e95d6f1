#pragma once

#include <array>
#include <cstdint>
#include <functional>
#include <memory>
#include <span>

#include "base/instant.hpp"
#include "base/result.hpp"
#include "io/ears_cards.hpp"
#include "io/handle.hpp"
#include "io/socket_address.hpp"

namespace panewalk::io {

/// One UDP packet as it came.
struct HeardPacket {
  std::span<const std::uint8_t> bytes;  ///< valid until the next is heard
  bool cut = false;                     ///< it was longer; no E1.31 or Art-Net packet is
  Host from{};
  std::uint16_t from_port = 0;
  Host to{};  ///< of this machine, a group or a broadcast address
  std::uint16_t to_port = 0;
  int card = 0;  ///< the index of the card that it came by
  base::Instant at;
};
using WhenHeard = std::function<void(const HeardPacket&)>;

/// A port of this machine, heard without taking anything from the programs that have it too. A
/// packet to one address alone goes to one socket only, in Linux to the one that was bound last.
class EarsSocket {
 public:
  enum class Shares {
    kOnceOurs,  ///< others may come later, but nobody may have it now
    kFromStart,
  };
  /// The errno where it can't be: EADDRINUSE where another program has the port.
  static base::Result<EarsSocket, int> open(const Host& host, std::uint16_t port, Shares shares);

  /// 0 or the errno. ENOBUFS: this socket has as many groups as the system allows.
  [[nodiscard]] int join(const Host& group, int card) const;
  void leave(const Host& group, int card) const;

  /// 0 or the errno. By this card, from this address of it; by the way the system knows where
  /// there is none.
  [[nodiscard]] int send(std::span<const std::uint8_t> octets, const Host& to, std::uint16_t port,
                         const Card* by) const;

  /// Room for what one call takes.
  class Batch;
  static std::shared_ptr<Batch> make_batch();
  /// What is there, up to a batch.
  void hear(Batch& batch, base::Instant now, const WhenHeard& heard) const;
  static constexpr std::size_t kBatch = 64;
  /// An Ethernet frame's worth; no E1.31 or Art-Net packet is longer.
  static constexpr std::size_t kMostOctets = 1500;

  /// Packets that the system threw away because they came faster than they were looked at.
  [[nodiscard]] std::uint64_t dropped() const;
  [[nodiscard]] std::uint16_t port() const { return port_; }
  [[nodiscard]] int descriptor() const { return handle_.get(); }

 private:
  EarsSocket(Handle handle, std::uint16_t port) : handle_{std::move(handle)}, port_{port} {}
  Handle handle_;
  std::uint16_t port_;
};

}  // namespace panewalk::io
