#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "base/instant.hpp"
#include "packet/e131.hpp"
#include "packet/sequence.hpp"
#include "patch/description.hpp"
#include "practice/wired_prop.hpp"

namespace panewalk::practice {

/// One receiving controller: takes datagrams as they come from a socket and holds the levels of
/// each universe. When the data stops it holds the last picture, as most do unless set otherwise.
class Receiver {
 public:
  explicit Receiver(patch::Protocol protocol) : protocol_{protocol} {}

  void receive(std::span<const std::uint8_t> datagram);
  /// Ascending by universe.
  [[nodiscard]] std::span<const UniverseLevels> universes() const { return universes_; }

  struct Counts {
    std::uint64_t taken = 0;       ///< packets whose levels were taken
    std::uint64_t refused = 0;     ///< not a packet of the protocol, or a broken one
    std::uint64_t ignored = 0;     ///< sound packets that carry no levels for us, or came too late
    std::uint64_t terminated = 0;  ///< packets that end their stream
  };
  [[nodiscard]] const Counts& counts() const { return counts_; }

 private:
  void receive_e131(std::span<const std::uint8_t> datagram);
  void receive_artnet(std::span<const std::uint8_t> datagram);
  void take(std::uint16_t universe, std::span<const std::uint8_t> slots);

  struct Source {
    packet::Cid cid;
    std::uint16_t universe = 0;
    packet::Sequence last;
  };

  patch::Protocol protocol_;
  std::vector<UniverseLevels> universes_;
  std::vector<Source> sources_;
  Counts counts_;
};

/// The props of a site, wired and hung, each behind its controller.
class Yard {
 public:
  struct Prop {
    AsBuilt built;
    std::size_t controller = 0;
  };
  Yard(const std::vector<patch::Protocol>& controllers, std::vector<Prop> props);

  void receive(std::size_t controller, std::span<const std::uint8_t> datagram) {
    receivers_[controller].receive(datagram);
  }
  /// By StationIndex.
  [[nodiscard]] std::vector<light::Colour> shown(std::size_t prop) const;
  [[nodiscard]] const Receiver& receiver(std::size_t controller) const {
    return receivers_[controller];
  }

 private:
  std::vector<Receiver> receivers_;
  std::vector<Prop> props_;
};

}  // namespace panewalk::practice
