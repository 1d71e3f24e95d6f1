#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/instant.hpp"
#include "engine/plan.hpp"
#include "io/ears_cards.hpp"
#include "io/ears_groups.hpp"
#include "io/ears_polls.hpp"
#include "io/icmp_echo.hpp"
#include "packet/address.hpp"
#include "scan/heard.hpp"

namespace panewalk::io {

/// Listens to the network by every card, and asks who is there. It never answers and never sends
/// light. What can't be opened is told in asked().troubles, and the rest goes on without it.
class Ears {
 public:
  struct Ports {
    std::uint16_t e131 = packet::kE131UdpPort;
    std::uint16_t artnet = packet::kArtNetUdpPort;
  };
  struct Whom {
    /// E1.31 that is sent to this machine alone. Else that port stays free for its receivers, and
    /// what nobody takes there is refused as ever.
    bool alone = true;
    std::vector<EarsPolls::Node> nodes;  ///< asked by ArtPoll
    std::vector<Host> hosts;             ///< asked by ICMP Echo
  };
  /// The site's controllers by their own addresses; groups have none to ask.
  static Whom whom_of(const engine::Plan& plan);
  using CardsNow = std::function<std::vector<Card>()>;
  explicit Ears(Whom whom) : Ears(std::move(whom), Ports{}, cards_that_are_up) {}
  Ears(Whom whom, Ports ports, CardsNow cards_now);

  /// Hears these universes' groups too, from now on.
  void join(std::span<const packet::Universe> universes) { groups_.join(universes); }
  /// And these no more.
  void leave(std::span<const packet::Universe> universes) { groups_.leave(universes); }
  /// Listens and asks until then, and tells all of them the same. However much comes, it ends in
  /// time. After `most` packets it takes no more and sleeps; what doesn't fit in the sockets'
  /// queues is lost then.
  void listen(base::Instant until, Hearers heard, std::size_t most);
  void listen(base::Instant until, scan::Heard& heard) {
    scan::Heard* const one = &heard;
    listen(until, {&one, 1}, static_cast<std::size_t>(-1));
  }
  /// Pings once more, also those who answered.
  void ping_anew();

  /// What was done so far. `dropped_before` of the dropped packets are not told.
  [[nodiscard]] scan::Asked asked(std::uint64_t dropped_before = 0) const;
  /// Packets that came faster than they were looked at, so far.
  [[nodiscard]] std::uint64_t dropped() const;

  /// A controller polls every 2.5 to 3 s (Art-Net 4, ArtPoll).
  static constexpr base::Duration kPollEvery = std::chrono::milliseconds{2750};
  /// Cards that come and go are noticed.
  static constexpr base::Duration kLookEvery = std::chrono::seconds{1};
  /// Until it answers; it may have to wake up first.
  static constexpr base::Duration kEchoEvery = std::chrono::seconds{1};
  static constexpr int kMostEchoes = 5;

 private:
  struct Pinged {
    Host host{};
    int asked = 0;
    bool answered = false;
  };
  void do_what_is_due(base::Instant now, Hearers heard);
  void look_at_cards(Hearers heard);
  void ping(Hearers heard);
  std::size_t hear_socket(const EarsSocket& socket, bool artnet, Hearers heard);
  void hear_echoes(Hearers heard);
  std::string_view name_of(int card);

  CardsNow cards_now_;
  EarsGroups groups_;
  EarsPolls polls_;
  std::optional<IcmpEcho> echo_;
  int echo_error_ = 0;
  std::vector<Pinged> pinged_;
  std::shared_ptr<EarsSocket::Batch> batch_ = EarsSocket::make_batch();
  std::vector<scan::Card> cards_;  ///< that were up at some time
  std::vector<Card> up_;
  std::map<int, std::string> names_;
  base::Instant look_at_{}, poll_at_{}, echo_at_{};  ///< the first time at once
};

}  // namespace panewalk::io
