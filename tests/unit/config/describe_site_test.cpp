#include "config/describe_site.hpp"

#include <gtest/gtest.h>

#include "told.hpp"

namespace panewalk::config {
namespace {

using namespace std::chrono_literals;

SiteFile read(std::string_view text) {
  EXPECT_EQ(told_of(text, describe_site), "");
  return describe_site(read_text(text).value()).value();
}

std::string refused(std::string_view text) { return told_of(text, describe_site); }

TEST(DescribeSite, ReadsABoathouse) {
  const SiteFile site = read(R"({
  "site": "boathouse",
  "controllers": [
    { "name": "bench", "protocol": "e131", "address": "127.0.0.1", "rate": "30 per second",
      "channels_per_universe": 512, "priority": 90, "supply": { "volts": 12, "amps": 5 },
      "repeat": "every frame", "interface": "10.0.0.2" },
    { "name": "gable", "protocol": "artnet", "address": "10.0.0.6:6455" },
    { "name": "yard", "protocol": "e131", "address": "multicast" }
  ],
  "props": [
    { "name": "west", "file": "props/slip-window.json", "controller": "bench", "universe": 3, "channel": 7,
      "nulls": 1, "output": 3, "place": ["2 m", "-1 m"], "level": "30 %", "hung": "turned" }
  ],
  "walk": ["west"],
  "unwatched": "90 s"
})");
  EXPECT_EQ(site.name, "boathouse");
  const patch::ControllerDescription& bench = site.controllers.at(0);
  EXPECT_EQ(bench.protocol, patch::Protocol::kE131);
  EXPECT_EQ(bench.address, (patch::Address{.host = {127, 0, 0, 1}, .port = 5568}));
  EXPECT_EQ(bench.frames_per_second, 30);
  EXPECT_EQ(bench.channels_per_universe, 512);
  EXPECT_EQ(bench.priority, 90);
  EXPECT_EQ(bench.unchanged, patch::Unchanged::kEveryFrame);
  EXPECT_EQ(bench.interface, "10.0.0.2");
  EXPECT_EQ(bench.supply->amps.value(), 5);
  EXPECT_EQ(site.controllers.at(1).address, (patch::Address{.host = {10, 0, 0, 6}, .port = 6455}));
  EXPECT_TRUE(site.controllers.at(2).address.multicast);
  const PlacedProp& west = site.props.at(0);
  EXPECT_EQ(west.name, "west");
  EXPECT_EQ(west.file, "props/slip-window.json");
  EXPECT_EQ(west.placement.controller, "bench");
  EXPECT_EQ(west.placement.universe, 3);
  EXPECT_EQ(west.placement.channel, 7);
  EXPECT_EQ(west.placement.nulls, 1);
  EXPECT_EQ(west.placement.output, 3);
  EXPECT_EQ(west.place->x.value(), 2000);
  EXPECT_EQ(west.cap.share(), 0.3);
  EXPECT_EQ(west.hung, Hung::kTurned);
  EXPECT_EQ(site.walk, std::vector<std::string>{"west"});
  EXPECT_EQ(site.unwatched, 90s);
}

TEST(DescribeSite, ReadsHowPacketsLeave) {
  const SiteFile site = read(R"({
  "site": "boathouse",
  "network": { "multicast_hops": 3, "multicast_loop": "off", "dscp": 46, "sync_delay": "2.5 ms" },
  "controllers": [
    { "name": "bench", "protocol": "e131", "address": "10.0.0.5", "interface": "enp3s0", "burst": 4, "sync": 7962 },
    { "name": "gable", "protocol": "artnet", "address": "10.0.0.6", "interface": "10.0.0.2", "sync": "broadcast" }
  ]
})");
  EXPECT_EQ(site.network.multicast_hops, 3);
  EXPECT_FALSE(site.network.multicast_loop);
  EXPECT_EQ(site.network.dscp, 46);
  EXPECT_EQ(site.network.sync_delay, 2500us);
  EXPECT_EQ(site.controllers.at(0).interface, "enp3s0");
  EXPECT_EQ(site.controllers.at(0).burst, 4);
  EXPECT_EQ(site.controllers.at(0).sync, patch::Sync{.universe = 7962});
  EXPECT_EQ(site.controllers.at(1).interface, "10.0.0.2");
  EXPECT_EQ(site.controllers.at(1).sync, patch::Sync{});
}

// What Linux refuses (dev_valid_name), what is longer than it takes, and mistyped addresses.
TEST(DescribeSite, TakesTheNameOfACardOrItsAddress) {
  const auto takes = [](const std::string& interface) {
    const auto site =
        describe_site(read_text(R"({"site":"s","controllers":[{"name":"c","protocol":"artnet",)"
                                R"("address":"10.0.0.5","interface":")" +
                                interface + "\"}]}")
                          .value());
    return site.ok();
  };
  for (const char* const text : {"e", "eth0", "enp0s31f6u1u2i9", "wlan0.20", "br-lan", "veth1@x",
                                 "...x", "10.0.0.2", "127.0.0.1", "223.0.0.1"}) {
    EXPECT_TRUE(takes(text)) << text;
  }
  for (const char* const text :
       {"", ".", "..", "7", "enp0s31f6u1u2i99", "eth 0", " eth0", "a/b", "eth0:1", "netzwerkä",
        "10.0.0", "10.0.0.256", "10.0.0.02", "0.0.0.0", "224.0.0.1", "10.0.0.2.", "10.0.0.2:80"}) {
    EXPECT_FALSE(takes(text)) << text;
  }
}

TEST(DescribeSite, TellsEveryMistakeInHowPacketsLeave) {
  EXPECT_EQ(refused(R"({
  "site": "boathouse",
  "network": { "multicast_hops": 33, "multicast_loop": "maybe", "dscp": 64, "sync_delay": "21 ms", "dcsp": 1 },
  "controllers": [
    { "name": "a", "protocol": "e131", "address": "10.0.0.5", "interface": "eth 0", "burst": 0, "sync": "broadcast" },
    { "name": "b", "protocol": "artnet", "address": "10.0.0.6", "interface": "10.0.0.300", "burst": 513, "sync": 7 },
    { "name": "c", "protocol": "e131", "address": "10.0.0.7", "interface": 2, "burst": 1.5, "sync": 64000 },
    { "name": "d", "protocol": "artnett", "address": "10.0.0.8", "sync": "broadcast" }
  ]
})"),
            R"told(f.json:3:34: /network/multicast_hops: 33 is out of range; from 1 to 32
f.json:3:56: /network/multicast_loop: "maybe" is not known; allowed: "on" or "off"
f.json:3:73: /network/dscp: 64 is out of range; from 0 to 63
f.json:3:91: /network/sync_delay: "21 ms" is out of range; from 0 ms to 20 ms
f.json:3:100: /network/dcsp: unknown name; did you mean "dscp"?
f.json:5:76: /controllers/0/interface: "eth 0" can't be the name of a network card; 1 to 15 letters, digits or signs, without blank, "/" and ":"; or its IPv4 address, "10.0.0.2"
f.json:5:94: /controllers/0/burst: 0 is out of range; from 1 to 512
f.json:5:105: /controllers/0/sync: found the text "broadcast"; with E1.31 a synchronization address, a whole number from 1 to 63999
f.json:6:78: /controllers/1/interface: "10.0.0.300" is not the IPv4 address of a network card; such as "10.0.0.2", or the card's name
f.json:6:101: /controllers/1/burst: 513 is out of range; from 1 to 512
f.json:6:114: /controllers/1/sync: found the number 7; with Art-Net "broadcast"
f.json:7:76: /controllers/2/interface: found the number 2; a network card of this machine, by name, "eth0", or by IPv4 address, "10.0.0.2", is needed
f.json:7:88: /controllers/2/burst: 1.5 is not whole; a whole number from 1 to 512
f.json:7:101: /controllers/2/sync: 64000 is out of range; from 1 to 63999
f.json:8:32: /controllers/3/protocol: "artnett" is not known; did you mean "artnet"?
)told");
}

// The defaults that the format states.
TEST(DescribeSite, GivesEachLeftOutMemberItsDefault) {
  const SiteFile site = read(R"({"site":"boathouse",
    "controllers":[{"name":"bench","protocol":"artnet","address":"10.0.0.5"}],
    "props":[{"file":"a.json","controller":"bench","universe":0}]})");
  EXPECT_EQ(site.controllers[0].address.port, 6454);
  EXPECT_EQ(site.controllers[0].frames_per_second, 40);
  EXPECT_EQ(site.controllers[0].channels_per_universe, 510);
  EXPECT_EQ(site.controllers[0].priority, 100);
  EXPECT_EQ(site.controllers[0].unchanged, patch::Unchanged::kKeepAlive);
  EXPECT_FALSE(site.controllers[0].interface.has_value());
  EXPECT_FALSE(site.controllers[0].burst.has_value());
  EXPECT_FALSE(site.controllers[0].sync.has_value());
  EXPECT_EQ(site.network.multicast_hops, 8);
  EXPECT_TRUE(site.network.multicast_loop);
  EXPECT_EQ(site.network.dscp, 0);
  EXPECT_EQ(site.network.sync_delay, 1ms);
  EXPECT_FALSE(site.controllers[0].supply.has_value());
  EXPECT_EQ(site.props[0].placement.channel, 1);
  EXPECT_EQ(site.props[0].placement.nulls, 0);
  EXPECT_FALSE(site.props[0].placement.output.has_value());
  EXPECT_EQ(site.props[0].cap.share(), 1);
  EXPECT_EQ(site.props[0].hung, Hung::kUpright);
  EXPECT_FALSE(site.walk.has_value());
  EXPECT_EQ(site.unwatched, 10min);
  EXPECT_TRUE(read(R"({"site":"empty shed"})").props.empty());
}

TEST(DescribeSite, TakesOnlyAddressesOfOneReceiver) {
  using patch::Protocol;
  const auto ok = [](std::string_view text, Protocol protocol = Protocol::kE131) {
    return parse_address(text, protocol).has_value();
  };
  EXPECT_TRUE(ok("10.0.0.5"));
  EXPECT_TRUE(ok("223.255.255.255:65535"));
  EXPECT_TRUE(ok("multicast"));
  EXPECT_FALSE(ok("multicast", Protocol::kArtNet));
  for (const char* const text : {"",
                                 "10",
                                 "10.0.0",
                                 "10.0.0.",
                                 "10.0.0.5.6",
                                 "10.0.0.256",
                                 "10.0.0.05",
                                 "0.0.0.0",
                                 "224.0.0.1",
                                 "239.255.0.1",
                                 "255.255.255.255",
                                 "10.0.0.5:",
                                 "10.0.0.5:0",
                                 "10.0.0.5:65536",
                                 "10.0.0.5:0080",
                                 "10.0.0.5:80 ",
                                 " 10.0.0.5",
                                 "10.0.0.-5",
                                 "::1",
                                 "localhost",
                                 "Multicast",
                                 "10.0.0.999999999999"}) {
    EXPECT_FALSE(ok(text)) << text;
  }
}

TEST(DescribeSite, TellsEveryMistakeAtOnce) {
  EXPECT_EQ(refused(R"({
  "site": "",
  "controllers": [
    { "name": "bench", "protocol": "e132", "adress": "10.0.0.5", "rate": 40 },
    { "name": "bench", "protocol": "artnet", "address": "multicast", "rate": "61 per second",
      "channels_per_universe": 511, "priority": 201, "supply": { "volts": 12 }, "interface": "eth/0" },
    "third"
  ],
  "props": [
    { "file": "/etc/passwd", "controller": "bensh", "universe": 70000, "channel": 0, "level": "130 %" },
    { "file": "a.json", "universe": 1.5, "nulls": -1, "hung": "sideways", "place": ["1 m", "2"] }
  ],
  "walk": ["a b"],
  "unwatched": "1 s"
})"),
            R"told(f.json:2:11: /site: an empty text; from 1 to 60 characters
f.json:4:5: /controllers/0/address: missing; such as "10.0.0.5"
f.json:4:36: /controllers/0/protocol: "e132" is not known; did you mean "e131"?
f.json:4:44: /controllers/0/adress: unknown name; did you mean "address"?
f.json:4:74: /controllers/0/rate: the number 40 has no unit; a whole rate such as "40 per second"
f.json:5:15: /controllers/1/name: "bench" is the name of controller 1 too; each has its own
f.json:5:57: /controllers/1/address: Art-Net data has no multicast; the controller's own address, such as "10.0.0.5" or "10.0.0.5:6454"
f.json:5:78: /controllers/1/rate: "61 per second" is out of range; from 1 to 60 per second
f.json:6:32: /controllers/1/channels_per_universe: the number 511 is not allowed; 510 keeps pixels whole, 512 leaves no gap
f.json:6:49: /controllers/1/priority: 201 is out of range; from 0 to 200
f.json:6:64: /controllers/1/supply/amps: missing; of the supply's nameplate
f.json:6:94: /controllers/1/interface: "eth/0" can't be the name of a network card; 1 to 15 letters, digits or signs, without blank, "/" and ":"; or its IPv4 address, "10.0.0.2"
f.json:7:5: /controllers/2: found the text "third"; a controller, as an object, is needed
f.json:10:15: /props/0/file: "/etc/passwd" can't be opened from here; a file named by another file lies in the same folder or below
f.json:10:65: /props/0/universe: 70000 is out of range; from 1 to 63999 with E1.31, from 0 to 32767 with Art-Net
f.json:10:83: /props/0/channel: 0 is out of range; from 1 to 512
f.json:10:95: /props/0/level: "130 %" is out of range; from 0 % to 100 %
f.json:11:5: /props/1/controller: missing; the name of its controller
f.json:11:37: /props/1/universe: 1.5 is not whole; a whole number from 1 to 63999 with E1.31, from 0 to 32767 with Art-Net
f.json:11:51: /props/1/nulls: -1 is out of range; from 0 to 500
f.json:11:63: /props/1/hung: "sideways" is not known; allowed: "upright" or "turned"
f.json:11:92: /props/1/place/1: "2" has no unit; a length such as "80 mm", "30 cm", "1.2 m", "3 1/2 in" or "4 ft"
f.json:13:12: /walk/0: "a b" can't be a name; 1 to 40 letters, digits, "-" or "_"
f.json:14:16: /unwatched: "1 s" is out of range; from 10 s to 1440 min
)told");
}

TEST(DescribeSite, NeedsItsName) {
  EXPECT_EQ(refused("{}"), "f.json:1:1: /site: missing; the name of the site\n");
}

TEST(DescribeSite, ChecksNoControllerOfAPropWhereTheListIsBroken) {
  EXPECT_EQ(refused(R"({"site":"s","controllers":{},
"props":[{"file":"a.json","controller":"bench","universe":1}]})"),
            "f.json:1:27: /controllers: found an object; a list of controllers is needed\n");
  EXPECT_EQ(refused(R"({"site":"s",
"props":[{"file":"a.json","controller":"bench","universe":1}]})"),
            "f.json:2:40: /props/0/controller: no controller is named \"bench\"; list it under "
            "\"controllers\"\n");
}

}  // namespace
}  // namespace panewalk::config
