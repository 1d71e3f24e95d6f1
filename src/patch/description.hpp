#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "base/instant.hpp"
#include "base/quantity.hpp"
#include "light/colour.hpp"

/// What a person wrote about controllers, and which channels a prop's pixels take.
namespace panewalk::patch {

enum class Protocol { kE131, kArtNet };
/// "e131", "artnet".
std::string_view to_text(Protocol protocol);

/// Where a controller's packets go. E1.31-2018 §9.1.1 port 5568; Art-Net port 6454 (0x1936).
struct Address {
  bool multicast = false;              ///< E1.31 only: one group a universe
  std::array<std::uint8_t, 4> host{};  ///< unset with multicast
  std::uint16_t port = 0;
  bool operator==(const Address&) const = default;
};

inline constexpr std::uint16_t kE131Port = 5568;
inline constexpr std::uint16_t kArtNetPort = 6454;

/// What the chips need to know about their data.
struct PixelFormat {
  light::ColourOrder order;
  double bits_per_second = 800'000;
  base::Duration reset = std::chrono::microseconds{300};  ///< covers every chip of the facts table
  bool operator==(const PixelFormat&) const = default;
};

/// Whether unchanged data is repeated every frame or only kept alive (E1.31-2018 §6.6.2).
enum class Unchanged { kKeepAlive, kEveryFrame };

/// The nameplate of the supply that feeds a controller's props.
struct Supply {
  base::Volts volts;
  base::Amps amps;
  bool operator==(const Supply&) const = default;
};

/// Several controllers hold what they get and show it together.
struct Sync {
  /// The synchronization address, 1 … 63999 (E1.31-2018 §6.2.4, §6.3); with Art-Net unused and 0:
  /// ArtSync is broadcast.
  std::uint16_t universe = 0;
  bool operator==(const Sync&) const = default;
};

/// How the site's packets leave this machine.
struct Network {
  /// Routers that multicast may pass, 1 … 32. E1.31 groups lie in 239.255.0.0/16, the local scope
  /// of RFC 2365, so they can't leave the site however far this lets them go.
  int multicast_hops = 8;
  bool multicast_loop = true;  ///< other programs of this machine hear its multicast
  int dscp = 0;                ///< of each packet, 0 … 63 (RFC 2474)
  /// Between a frame's last level packet and its synchronization packet (E1.31-2018 §11.2.2).
  base::Duration sync_delay = std::chrono::milliseconds{1};
  bool operator==(const Network&) const = default;
};

struct ControllerDescription {
  std::string name;
  Protocol protocol = Protocol::kE131;
  Address address;
  int frames_per_second = 40;
  int channels_per_universe = 510;  ///< 510 keeps pixels whole, 512 leaves no gap
  int priority = 100;               ///< E1.31 only, 0 … 200
  Unchanged unchanged = Unchanged::kKeepAlive;
  /// The network card to send by, its name or its IPv4 address; none: the system chooses.
  std::optional<std::string> interface;
  /// The most packets that are sent to it at once; the rest of a frame follows, spread over the
  /// time to the next one. For receivers with little room. None: all at once.
  std::optional<int> burst;
  std::optional<Sync> sync;
  std::optional<Supply> supply;
  bool operator==(const ControllerDescription&) const = default;
};

/// Where a prop hangs on its controller.
struct Placement {
  std::string controller;
  std::int64_t universe = 1;
  std::int64_t channel = 1;
  int nulls = 0;
  std::optional<int> output;  ///< none: a chain of its own
  bool operator==(const Placement&) const = default;
};

}  // namespace panewalk::patch
