#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>

#include "base/instant.hpp"
#include "base/result.hpp"
#include "io/handle.hpp"

namespace panewalk::io {

using base::Duration;

/// One UDP packet as it came.
struct Datagram {
  std::span<const std::uint8_t> bytes;  ///< in the buffer that was given
  std::array<std::uint8_t, 4> from{};
  std::uint16_t from_port = 0;
  bool cut = false;  ///< it was longer than the buffer
};

/// Listens on a UDP port.
class UdpReceiver {
 public:
  struct Place {
    std::array<std::uint8_t, 4> host{127, 0, 0, 1};  ///< 0.0.0.0 for multicast
    std::uint16_t port = 0;                          ///< 0: a free one
    bool shared = false;                             ///< others may listen on the port too
  };
  static base::Result<UdpReceiver> open(const Place& place);

  /// Waits up to `most`; zero looks once. Nothing where none came.
  [[nodiscard]] std::optional<Datagram> receive(std::span<std::uint8_t> buffer, Duration most);
  /// Also takes what is sent to a multicast group, by the card with this address. 0 or the errno;
  /// Linux allows 20 groups a socket.
  [[nodiscard]] int join(const std::array<std::uint8_t, 4>& group,
                         const std::array<std::uint8_t, 4>& interface);

  [[nodiscard]] std::uint16_t port() const { return port_; }
  [[nodiscard]] int descriptor() const { return handle_.get(); }

 private:
  UdpReceiver(Handle handle, std::uint16_t port) : handle_{std::move(handle)}, port_{port} {}
  Handle handle_;
  std::uint16_t port_;
};

}  // namespace panewalk::io
