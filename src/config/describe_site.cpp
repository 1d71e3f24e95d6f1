#include "config/describe_site.hpp"

#include <algorithm>

#include "base/nearest.hpp"
#include "config/amounts.hpp"
#include "config/describe_network.hpp"

namespace panewalk::config {
namespace {

using patch::Protocol;

constexpr std::size_t kMostElements = 1000;
constexpr std::size_t kLongestTitle = 60;

patch::Address read_address(const Value& value, Protocol protocol) {
  const std::string needed = protocol == Protocol::kE131
                                 ? R"(such as "10.0.0.5", "10.0.0.5:5568" or "multicast")"
                                 : R"(such as "10.0.0.5" or "10.0.0.5:6454")";
  if (value.node->kind != Node::Kind::kString) {
    value.refuse("found " + found(*value.node), "an address in double quotes, " + needed);
    return {};
  }
  const auto address = parse_address(value.node->text, protocol);
  if (address) return *address;
  if (value.node->text == "multicast") {
    value.refuse("Art-Net data has no multicast", "the controller's own address, " + needed);
  } else {
    value.refuse(base::quoted(value.node->text) + " is not an address of a controller", needed);
  }
  return {};
}

patch::Supply read_supply(const Value& value) {
  patch::Supply supply;
  Object object{value, R"(an object such as { "volts": 12, "amps": 5 })"};
  if (const auto v = object.must("volts", "of the supply's nameplate")) supply.volts = volts(*v);
  if (const auto v = object.must("amps", "of the supply's nameplate")) supply.amps = amps(*v);
  object.finish();
  return supply;
}

int read_packing(const Value& value) {
  const Node& node = *value.node;
  if (node.kind != Node::Kind::kNumber) {
    value.wrong_type("510 or 512");
  } else if (node.whole != 510 && node.whole != 512) {
    value.refuse(found(node) + " is not allowed", "510 keeps pixels whole, 512 leaves no gap");
  } else {
    return static_cast<int>(*node.whole);
  }
  return 510;
}

patch::ControllerDescription read_controller(const Value& value) {
  constexpr int kFastest = 60;      // frames a second
  constexpr int kMostUrgent = 200;  // E1.31-2018 §6.2.3
  constexpr int kMostAtOnce = 512;  // packets
  patch::ControllerDescription controller;
  std::optional<Protocol> protocol;
  Object object{value, "a controller, as an object,"};
  if (const auto v = object.must("name", "the controller's name")) controller.name = name(*v);
  if (const auto v = object.must("protocol", "\"e131\" or \"artnet\"")) {
    if (const auto word = choice(*v, {"e131", "artnet"})) {
      protocol = *word == 1 ? Protocol::kArtNet : Protocol::kE131;
      controller.protocol = *protocol;
    }
  }
  if (const auto v = object.must("address", R"(such as "10.0.0.5")")) {
    controller.address = read_address(*v, controller.protocol);
  }
  if (const auto v = object.may("rate")) controller.frames_per_second = rate(*v, 1, kFastest);
  if (const auto v = object.may("channels_per_universe")) {
    controller.channels_per_universe = read_packing(*v);
  }
  if (const auto v = object.may("priority")) controller.priority = whole(*v, 0, kMostUrgent);
  if (const auto v = object.may("repeat")) {
    controller.unchanged = choice(*v, {"when it changes", "every frame"}) == 1
                               ? patch::Unchanged::kEveryFrame
                               : patch::Unchanged::kKeepAlive;
  }
  if (const auto v = object.may("interface")) controller.interface = read_interface(*v);
  if (const auto v = object.may("burst")) controller.burst = whole(*v, 1, kMostAtOnce);
  if (const auto v = object.may("sync")) controller.sync = read_sync(*v, protocol);
  if (const auto v = object.may("supply")) controller.supply = read_supply(*v);
  object.finish();
  return controller;
}

std::int64_t read_universe(const Value& value) {
  constexpr std::int64_t kMost = 63999;  // E1.31-2018 §6.2.7; patch knows the protocol
  const std::string range = "from 1 to 63999 with E1.31, from 0 to 32767 with Art-Net";
  const Node& node = *value.node;
  if (node.kind != Node::Kind::kNumber) {
    value.wrong_type("a whole number, " + range + ",");
  } else if (node.number < 0 || node.number > static_cast<double>(kMost)) {
    value.refuse(
        (node.whole ? std::to_string(*node.whole) : decimal(node.number)) + " is out of range",
        range);
  } else if (!node.whole) {
    value.refuse(decimal(node.number) + " is not whole", "a whole number " + range);
  } else {
    return *node.whole;
  }
  return 1;
}

PlacedProp read_prop(const Value& value) {
  constexpr int kChannels = 512;
  constexpr int kMostNulls = 500;
  constexpr int kMostOutputs = 1000;
  PlacedProp prop;
  Object object{value, "a prop, as an object,"};
  if (const auto v = object.may("name")) prop.name = name(*v);
  if (const auto v = object.must("file", "the prop's own file")) prop.file = file_name(*v);
  if (const auto v = object.must("controller", "the name of its controller")) {
    prop.placement.controller = name(*v);
  }
  if (const auto v = object.must("universe", "the universe of its first channel")) {
    prop.placement.universe = read_universe(*v);
  }
  if (const auto v = object.may("channel")) prop.placement.channel = whole(*v, 1, kChannels);
  if (const auto v = object.may("nulls")) prop.placement.nulls = whole(*v, 0, kMostNulls);
  if (const auto v = object.may("output")) prop.placement.output = whole(*v, 1, kMostOutputs);
  if (const auto v = object.may("place")) prop.place = point(*v, kOnSite);
  if (const auto v = object.may("hung")) {
    prop.hung = choice(*v, {"upright", "turned"}) == 1 ? Hung::kTurned : Hung::kUpright;
  }
  if (const auto v = object.may("level")) prop.cap = level(*v);
  object.finish();
  return prop;
}

/// Two controllers of one name, and props on a controller that is not there.
void check_controllers(const SiteFile& site, Report& report) {
  std::vector<std::string> names;
  bool all_named = true;
  for (std::size_t i = 0; i < site.controllers.size(); ++i) {
    const std::string& name = site.controllers[i].name;
    all_named = all_named && !name.empty();
    const auto first = std::find(names.begin(), names.end(), name);
    if (first != names.end() && !name.empty()) {
      report.add({.where = base::element("/controllers", i) + "/name",
                  .what = base::quoted(name) + " is the name of controller " +
                          std::to_string(first - names.begin() + 1) + " too",
                  .remedy = "each has its own"});
    }
    names.push_back(name);
  }
  for (std::size_t i = 0; all_named && i < site.props.size(); ++i) {
    const std::string& name = site.props[i].placement.controller;
    if (name.empty() || std::find(names.begin(), names.end(), name) != names.end()) continue;
    report.add(
        {.where = base::element("/props", i) + "/controller",
         .what = "no controller is named " + base::quoted(name),
         .remedy = names.empty() ? "list it under \"controllers\"" : base::name_hint(name, names)});
  }
}

}  // namespace

std::optional<patch::Address> parse_address(std::string_view text, Protocol protocol) {
  patch::Address address;
  address.port = protocol == Protocol::kE131 ? patch::kE131Port : patch::kArtNetPort;
  if (text == "multicast") {
    address.multicast = true;
    if (protocol != Protocol::kE131) return std::nullopt;
    return address;
  }
  const auto host = take_host(text);
  if (!host) return std::nullopt;
  address.host = *host;
  if (text.empty()) return address;
  if (text.front() != ':') return std::nullopt;
  text.remove_prefix(1);
  const auto port = take_number(text, 65535);
  if (!port || *port == 0 || !text.empty()) return std::nullopt;
  address.port = static_cast<std::uint16_t>(*port);
  return address;
}

std::string host_text(const std::array<std::uint8_t, 4>& host) {
  std::string text;
  for (const std::uint8_t number : host) text += (text.empty() ? "" : ".") + std::to_string(number);
  return text;
}

std::string address_text(const patch::Address& address) {
  if (address.multicast) return "multicast";
  return host_text(address.host) + ':' + std::to_string(address.port);
}

PartialSite read_site(const Tree& tree) {
  constexpr Allowed<base::Duration> kUnwatched{std::chrono::seconds{10}, std::chrono::hours{24},
                                               true, "from 10 s to 1440 min"};
  Report report;
  SiteFile site;
  Object object{{&tree.root, "", &report}, "a site file, which is an object,"};
  read_format(object);
  if (const auto v = object.must("site", "the name of the site")) {
    site.name = text(*v, 1, kLongestTitle, Words::kLine);
  }
  if (const auto v = object.may("network")) site.network = read_network(*v);
  if (const auto v = object.may("controllers")) {
    for (const Value& one : list(*v, "a list of controllers", 0, kMostElements)) {
      site.controllers.push_back(read_controller(one));
    }
  }
  if (const auto v = object.may("props")) {
    for (const Value& one : list(*v, "a list of props", 0, kMostElements)) {
      site.props.push_back(read_prop(one));
    }
  }
  if (const auto v = object.may("walk")) {
    site.walk.emplace();
    for (const Value& one : list(*v, "a list of props' names", 0, kMostElements)) {
      site.walk->push_back(name(one));
    }
  }
  if (const auto v = object.may("unwatched")) site.unwatched = duration(*v, kUnwatched);
  object.finish();
  const Member* const controllers = tree.root.find("controllers");
  if (controllers == nullptr || controllers->value.kind == Node::Kind::kList) {
    check_controllers(site, report);
  }
  return {std::move(site), report.take(tree)};
}

base::Result<SiteFile> describe_site(const Tree& tree) {
  PartialSite partial = read_site(tree);
  if (!partial.problems.empty()) return std::move(partial.problems);
  return std::move(partial.file);
}

}  // namespace panewalk::config
