#pragma once

#include <array>
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
#include "scan/heard.hpp"

namespace panewalk::io {

/// Those who are told what is heard.
using Hearers = std::span<scan::Heard* const>;

/// Hears Art-Net and asks who is there. Where another program has the port, only broadcasts are
/// heard on it, so that nothing is taken from that program, and questions go out from another port.
class EarsPolls {
 public:
  /// A node that is asked by its own address too.
  struct Node {
    Host host{};
    std::uint16_t port = packet::kArtNetUdpPort;
  };
  EarsPolls(std::uint16_t port, std::vector<Node> nodes);

  void use(std::span<const Card> cards);
  /// Asks by each card, and each node: ArtPoll with no flags, which changes nothing in a node.
  void ask(Hearers heard);
  /// Whether a packet is a question of our own that came round.
  [[nodiscard]] bool is_ours(const HeardPacket& packet) const;
  /// Takes what routers and hosts answered to the questions: nobody listens, no way there.
  void take_errors(Hearers heard) const;

  [[nodiscard]] std::span<const EarsSocket> sockets() const { return sockets_; }
  /// Where questions went.
  [[nodiscard]] std::vector<Host> polled() const { return {polled_.begin(), polled_.end()}; }
  [[nodiscard]] std::vector<std::string> troubles() const;

 private:
  void open_broadcast(const Host& broadcast);

  std::uint16_t port_;
  std::vector<Node> nodes_;
  std::vector<EarsSocket> sockets_;  ///< the first one asks
  std::array<std::uint8_t, 14> poll_{};
  std::vector<Card> cards_;
  std::set<Host> broadcasts_;  ///< that have a socket, where the port is another's too
  std::set<Host> polled_;
  bool shared_ = false;
  int error_ = 0;                         ///< of the port
  int broadcast_error_ = 0;               ///< of the port, for broadcasts
  std::map<std::string, int> not_asked_;  ///< errno by card or host
};

}  // namespace panewalk::io
