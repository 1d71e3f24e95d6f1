#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "engine/out_packet.hpp"
#include "patch/description.hpp"

namespace panewalk::engine {

/// Tells receivers that hold what they get when to show it: E1.31 synchronization packets
/// (E1.31-2018 §6.3, §11) and ArtSync (Art-Net 4). After the last send_to() nothing allocates.
class Synchronization {
 public:
  explicit Synchronization(const packet::Cid& cid) : cid_{cid} {}
  /// The group of a controller's packets: one a synchronization address, one for Art-Net.
  std::size_t group(patch::Protocol protocol, patch::Sync sync);
  /// Where the group's packets go; one that is known already is not added.
  void send_to(std::size_t group, std::uint32_t destination);
  /// The synchronization addresses, ascending: discovery lists them too (E1.31-2018 §8.5).
  [[nodiscard]] std::vector<packet::Universe> universes() const;

  /// A frame begins.
  void begin();
  /// One of the group's packets is sent in this frame.
  void has_sent(std::size_t group) { groups_[group].has_sent = true; }
  /// For the groups of which something was sent; counts as sent. Valid until begin().
  void step();
  [[nodiscard]] std::span<const OutPacket> packets() const { return packets_; }

 private:
  static constexpr std::size_t kMostOctets = 49;  // E1.31-2018 Table 4-2
  struct Group {
    patch::Protocol protocol = patch::Protocol::kE131;
    std::uint16_t universe = 0;
    std::vector<std::uint32_t> destinations;
    packet::Sequence next = {};  ///< its own, not that of the levels (§6.3.2)
    std::array<std::uint8_t, kMostOctets> octets{};
    bool has_sent = false;
  };
  [[nodiscard]] std::size_t encode(Group& group) const;

  packet::Cid cid_;
  std::vector<Group> groups_;
  std::vector<OutPacket> packets_;
};

}  // namespace panewalk::engine
