#include "config/describe_network.hpp"

#include <algorithm>
#include <charconv>

#include "config/amounts.hpp"

namespace panewalk::config {
namespace {

using patch::Protocol;

constexpr int kMostHops = 32;
constexpr int kMostDscp = 63;                 // RFC 2474 section 3: six bits
constexpr int kLastUniverse = 63999;          // E1.31-2018 §6.2.4
constexpr std::size_t kLongestCardName = 15;  // IFNAMSIZ of Linux, with its final zero

/// What Linux takes for the name of a card, without what is not ASCII.
bool is_card_name(std::string_view text) {
  return !text.empty() && text.size() <= kLongestCardName && text != "." && text != ".." &&
         std::all_of(text.begin(), text.end(), [](char letter) {
           return letter > ' ' && letter <= '~' && letter != '/' && letter != ':';
         });
}

}  // namespace

std::optional<int> take_number(std::string_view& text, int most) {
  const std::size_t size = std::min(text.find_first_not_of("0123456789"), text.size());
  if (size == 0 || size > 5 || (size > 1 && text.front() == '0')) return std::nullopt;
  int number = 0;
  std::from_chars(text.data(), text.data() + size, number);
  text.remove_prefix(size);
  if (number > most) return std::nullopt;
  return number;
}

std::optional<std::array<std::uint8_t, 4>> take_host(std::string_view& text) {
  std::array<std::uint8_t, 4> host{};
  for (std::size_t i = 0; i < host.size(); ++i) {
    if (i > 0) {
      if (text.empty() || text.front() != '.') return std::nullopt;
      text.remove_prefix(1);
    }
    const auto number = take_number(text, 255);
    if (!number) return std::nullopt;
    host[i] = static_cast<std::uint8_t>(*number);
  }
  constexpr std::uint8_t kFirstGroup = 224;
  if (host[0] == 0 || host[0] >= kFirstGroup) return std::nullopt;
  return host;
}

patch::Network read_network(const Value& value) {
  using std::chrono::milliseconds;
  constexpr Allowed<base::Duration> kSyncDelay{milliseconds{0}, milliseconds{20}, true,
                                               "from 0 ms to 20 ms"};
  patch::Network network;
  Object object{value, R"(an object such as { "multicast_hops": 8, "dscp": 0 })"};
  if (const auto v = object.may("multicast_hops")) network.multicast_hops = whole(*v, 1, kMostHops);
  if (const auto v = object.may("multicast_loop")) {
    network.multicast_loop = choice(*v, {"on", "off"}) != 1;
  }
  if (const auto v = object.may("dscp")) network.dscp = whole(*v, 0, kMostDscp);
  if (const auto v = object.may("sync_delay")) network.sync_delay = duration(*v, kSyncDelay);
  object.finish();
  return network;
}

std::string read_interface(const Value& value) {
  const std::string& text = value.node->text;
  if (value.node->kind != Node::Kind::kString) {
    value.wrong_type(
        R"(a network card of this machine, by name, "eth0", or by IPv4 address, "10.0.0.2",)");
  } else if (!text.empty() && text.find_first_not_of("0123456789.") == std::string::npos) {
    std::string_view rest = text;
    if (!take_host(rest) || !rest.empty()) {
      value.refuse(base::quoted(text) + " is not the IPv4 address of a network card",
                   R"(such as "10.0.0.2", or the card's name)");
    }
  } else if (!is_card_name(text)) {
    value.refuse(base::quoted(text) + " can't be the name of a network card",
                 R"(1 to 15 letters, digits or signs, without blank, "/" and ":"; or its IPv4 )"
                 R"(address, "10.0.0.2")");
  }
  return text;
}

std::optional<patch::Sync> read_sync(const Value& value, std::optional<Protocol> protocol) {
  const Node& node = *value.node;
  const bool broadcast = node.kind == Node::Kind::kString && node.text == "broadcast";
  if (protocol == Protocol::kArtNet) {
    if (broadcast) return patch::Sync{};
    value.refuse("found " + found(node), R"(with Art-Net "broadcast")");
    return std::nullopt;
  }
  if (broadcast && !protocol) return patch::Sync{};
  if (node.kind != Node::Kind::kNumber) {
    value.refuse("found " + found(node),
                 "with E1.31 a synchronization address, a whole number from 1 to 63999");
    return std::nullopt;
  }
  return patch::Sync{.universe = static_cast<std::uint16_t>(whole(value, 1, kLastUniverse))};
}

}  // namespace panewalk::config
