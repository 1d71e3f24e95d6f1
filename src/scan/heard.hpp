#pragma once

#include <compare>
#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/instant.hpp"
#include "engine/plan.hpp"
#include "packet/artnet.hpp"
#include "packet/e131.hpp"
#include "scan/report.hpp"

/// Listening to the network without a socket or a clock: arrivals in, report out.
namespace panewalk::scan {

/// One UDP datagram as it came in.
struct Arrival {
  std::span<const std::uint8_t> bytes;
  Ipv4 from{};
  std::uint16_t from_port = 0;
  std::optional<Ipv4> to = {};  ///< the address it was sent to, where the system tells
  std::string_view card = {};   ///< name of the card it came by; empty: not known
  base::Instant at = {};        ///< not before the arrival before it
  bool cut = false;             ///< it was longer than the buffer
};

/// Who we are, to tell our own packets from others'.
struct Self {
  std::optional<packet::Cid> cid = {};
  std::vector<Ipv4> addresses = {};  ///< of all cards
};

/// What is kept of a hostile flood; the rest is only counted. Together below 8 MiB.
namespace limits {
inline constexpr std::size_t kSources = 256;
inline constexpr std::size_t kStreams = 8192;       ///< of all sources together
inline constexpr std::size_t kStreamsOfOne = 2048;  ///< of one source
inline constexpr std::size_t kListed = 32768;       ///< universes in all discovery lists together
inline constexpr std::size_t kListedOfOne = 8192;   ///< in one source's
inline constexpr std::size_t kAddresses = 16;       ///< of one source
inline constexpr std::size_t kSyncs = 256;
inline constexpr std::size_t kNodes = 512;
inline constexpr std::size_t kArtStreams = 4096;
inline constexpr std::size_t kCallers = 256;
inline constexpr std::size_t kHosts = 1024;
inline constexpr std::size_t kRefusedPorts = 8;  ///< of one host
inline constexpr std::size_t kStrangers = 32;
inline constexpr std::size_t kCards = 64;     ///< what comes by others counts as "" (not known)
inline constexpr std::size_t kGroups = 1024;  ///< that groups_to_join ever names
}  // namespace limits

class Heard {
 public:
  explicit Heard(Self self = {}) : self_{std::move(self)} {}

  /// A datagram on port 5568.
  void take_e131(const Arrival& arrival);
  /// A datagram on port 6454.
  void take_artnet(const Arrival& arrival);
  /// The universe's group is not listened to from then on, so that what is missing is no loss; and
  /// it is again.
  void pause(std::uint16_t universe, base::Instant at);
  void resume(std::uint16_t universe, base::Instant at);
  /// A card came or went, and what was to come by it until now is no loss.
  void cards_changed();
  /// The host answered a ping.
  void echo(Ipv4 host);
  /// Nobody listens on this UDP port of the host (ICMP port unreachable).
  void refused(Ipv4 host, std::uint16_t port);
  /// There is no way to the host (ICMP host or network unreachable, or no answer to ARP).
  void unreachable(Ipv4 host);

  /// The universes that discovery names, ascending, each once.
  [[nodiscard]] std::set<std::uint16_t> named() const;
  [[nodiscard]] Report report(Asked asked, base::Instant began, base::Instant ended) const;

 private:
  using CardIndex = std::uint16_t;  // into cards_; 0 is "not known"
  struct Place {
    std::uint16_t number = 0;  // universe, Port-Address, sync address
    Ipv4 from{};
    CardIndex card = 0;
    auto operator<=>(const Place&) const = default;
  };
  struct E131Fold {
    E131Stream told;
    Tally tally{Numbering::kE131};
  };
  struct SourceFold {
    std::string name;
    std::map<Place, E131Fold> streams;
    std::set<Ipv4> addresses;
    std::map<std::uint8_t, std::vector<std::uint16_t>> pages;  // what discovery listed
    std::size_t listed = 0;                                    // universes in them
    std::uint8_t last_page = 0;
    bool tells = false;
    bool page_left_out = false;
    std::set<CardIndex> tells_by;
  };
  struct ArtFold {
    ArtStream told;
    Tally tally{Numbering::kArtNet};
  };
  struct NodeKey {
    Ipv4 from{};
    std::uint8_t bind_index = 0;
    // Nodes without a bind index tell their pages apart by these.
    std::uint8_t net_switch = 0;
    std::uint8_t sub_switch = 0;
    CardIndex card = 0;
    auto operator<=>(const NodeKey&) const = default;
  };
  struct StrangerKey {
    std::uint16_t port = 0;
    Ipv4 from{};
    packet::DecodeError error{};
    auto operator<=>(const StrangerKey&) const = default;
  };

  void take(const packet::E131Data& data, const Arrival& arrival);
  void take(const packet::E131Sync& sync, const Arrival& arrival);
  void take(const packet::E131Discovery& discovery, const Arrival& arrival);
  void take(const packet::ArtDmx& dmx, const Arrival& arrival);
  void take(const packet::ArtSync& sync, const Arrival& arrival);
  void take(const packet::ArtPoll& poll, const Arrival& arrival);
  void take(const packet::ArtPollReply& reply, const Arrival& arrival);
  void strange(std::uint16_t port, const Arrival& arrival, packet::DecodeError error);
  template <class Do>
  void for_each_tally(std::uint16_t universe, Do&& act);
  void count_way(const Arrival& arrival, Ways& ways) const;
  [[nodiscard]] bool ours(Ipv4 address) const;
  [[nodiscard]] E131Source told(const packet::Cid& cid, const SourceFold& source) const;
  SourceFold* source(const packet::Cid& cid, const Arrival& arrival);
  ArtCaller* caller(const Arrival& arrival);
  Host* host(Ipv4 address);
  CardIndex card(std::string_view name);

  Self self_;
  std::vector<std::string> cards_{""};
  std::map<packet::Cid, SourceFold> sources_;
  std::size_t streams_ = 0;
  std::size_t listed_ = 0;
  std::map<std::pair<packet::Cid, Place>, Tally> syncs_;
  std::map<NodeKey, ArtNode> nodes_;
  std::map<Place, ArtFold> art_streams_;
  std::map<std::pair<Ipv4, CardIndex>, ArtCaller> callers_;
  std::map<Ipv4, Host> hosts_;
  std::map<StrangerKey, std::uint64_t> strangers_;
  std::uint64_t other_artnet_ = 0;
  Beyond beyond_;
};

/// The universes whose multicast groups are worth joining, the most important first: the site's,
/// then its neighbours (one up and down), then what discovery names. At most
/// limits::kGroups, each once. Grows while discovery comes in: join what is new.
std::vector<packet::Universe> groups_to_join(const Heard& heard, const engine::Plan* plan);

}  // namespace panewalk::scan
