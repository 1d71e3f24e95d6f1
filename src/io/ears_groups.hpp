#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <vector>

#include "io/ears_cards.hpp"
#include "io/ears_socket.hpp"
#include "packet/address.hpp"

namespace panewalk::io {

/// Hears E1.31: the discovery group and the groups of universes by every card, and what is sent to
/// this machine alone. Each group has a socket bound to its address, so that nothing is taken from
/// another program, and with many groups none meets the system's limit of 20 a socket.
class EarsGroups {
 public:
  /// Without `alone`, what is sent to this machine alone is left to other programs.
  explicit EarsGroups(std::uint16_t port, bool alone = true);

  /// The cards that are up now; joins by those that came, leaves by those that went.
  void use(std::span<const Card> cards);
  /// Also these universes. Those beyond kMostUniverses are counted and left out.
  void join(std::span<const packet::Universe> universes);
  /// Hears these no more. Their packets may still lie in a socket, which goes with them.
  void leave(std::span<const packet::Universe> universes);
  /// 256 universes at 44 frames a second are 60 Mbit/s, which a switch sends us because we joined.
  static constexpr std::size_t kMostUniverses = 256;
  /// Also where there are so many cards that a group needs several.
  static constexpr std::size_t kMostSockets = 320;

  [[nodiscard]] std::span<const EarsSocket> sockets() const { return sockets_; }
  /// By sockets that are gone.
  [[nodiscard]] std::uint64_t dropped_before() const { return dropped_before_; }
  /// That were joined by a card at least.
  [[nodiscard]] std::vector<std::uint16_t> joined() const;
  /// What could not be done, a sentence each without a full stop.
  [[nodiscard]] std::vector<std::string> troubles() const;

 private:
  struct Group {
    Host address{};
    std::uint16_t universe = 0;  ///< 0: discovery
    std::vector<std::size_t> sockets;
    std::set<int> cards;  ///< by which it was joined
  };
  void add(const Host& group, std::uint16_t universe);
  void join(Group& group, const Card& card);
  void close(std::size_t socket);
  std::optional<std::size_t> open(const Host& group);

  std::uint16_t port_;
  bool alone_;
  std::uint64_t dropped_before_ = 0;
  std::vector<EarsSocket> sockets_;
  std::vector<Group> groups_;
  std::set<std::uint16_t> universes_;  ///< in groups_
  std::set<std::uint16_t> left_out_;
  std::map<int, Card> cards_;  ///< by index; one of a card's addresses
  int alone_error_ = 0;        ///< of the socket for what is sent to this machine alone
  int group_error_ = 0;        ///< of opening a group's socket, the last
  bool any_group_open_ = false;
  std::map<std::pair<std::string, int>, std::set<std::uint16_t>> not_joined_;  ///< by card, errno
};

}  // namespace panewalk::io
