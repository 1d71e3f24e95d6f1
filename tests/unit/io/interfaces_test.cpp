#include "io/interfaces.hpp"

#include <gtest/gtest.h>

#include <cerrno>

#include "own_network.hpp"

namespace panewalk::io {
namespace {

using test::in_own_network;
using test::kNotAllowed;
using test::shell;

constexpr Host kGroup{239, 255, 0, 1};

/// Two cards: house, 10.1.2.3/24 and 10.5.0.1/16 with a broadcast address of its own, and yard,
/// 10.1.3.3/24. Point-to-point addresses on yard too.
bool plug_in() {
  return shell(
      "ip link set lo up && ip link add house type veth peer name far && "
      "ip link add yard type veth peer name far2 && ip addr add 10.1.2.3/24 dev house && "
      "ip addr add 10.5.0.1/16 brd 10.5.77.255 dev house && ip addr add 10.1.3.3/24 dev yard && "
      "ip addr add 10.9.0.0/31 dev yard && ip addr add 10.9.1.1/32 dev yard && "
      "ip link set house up && ip link set yard up && ip link set far up && ip link set far2 up");
}

TEST(Interfaces, TellByWhichCardPacketsLeave) {
  const int result = in_own_network([] {
    if (!plug_in()) return kNotAllowed;
    const auto is = [](const base::Result<WayOut, int>& way, const WayOut& expected) {
      return way.ok() && way.value() == expected;
    };
    const auto fails = [](const base::Result<WayOut, int>& way, int error) {
      return !way.ok() && way.error() == error;
    };
    const WayOut house{.card = "house", .address = {10, 1, 2, 3}};
    const WayOut yard{.card = "yard", .address = {10, 1, 3, 3}};
    if (!is(way_to({10, 1, 2, 9}, std::nullopt), house)) return 1;
    if (!is(way_to({10, 1, 3, 9}, std::nullopt), yard)) return 2;
    if (!is(way_to({10, 1, 3, 9}, "10.1.3.3"), yard)) return 3;
    if (!is(way_to({10, 1, 3, 9}, "yard"), yard)) return 4;
    // An address that is another card's says where it comes from, not where it goes.
    if (!is(way_to({10, 1, 3, 9}, "10.1.2.3"), {.card = "yard", .address = {10, 1, 2, 3}}))
      return 5;
    if (!is(way_to(kGroup, "house"), house)) return 6;
    if (!is(way_to(kGroup, "10.1.3.3"), yard)) return 7;
    if (!is(way_to({127, 0, 0, 1}, std::nullopt), {.card = "lo", .address = {127, 0, 0, 1}})) {
      return 8;
    }
    if (!fails(way_to({10, 77, 0, 1}, std::nullopt), ENETUNREACH)) return 9;
    if (!fails(way_to(kGroup, std::nullopt), ENETUNREACH)) return 10;
    if (!fails(way_to(kGroup, "shed"), ENODEV)) return 11;
    if (!fails(way_to({10, 1, 2, 9}, "192.0.2.1"), EADDRNOTAVAIL)) return 12;
    if (!shell("ip route add default via 10.1.2.1")) return 13;
    return is(way_to(kGroup, std::nullopt), house) ? 0 : 14;
  });
  if (result == kNotAllowed) GTEST_SKIP() << "no network namespaces here";
  EXPECT_EQ(result, 0);
}

TEST(Interfaces, KnowTheBroadcastAddressNearAController) {
  const int result = in_own_network([] {
    if (!plug_in()) return kNotAllowed;
    const auto near = [](const Host& host, const std::optional<std::string>& interface) {
      return to_text(broadcast_near(host, interface));
    };
    if (near({10, 1, 2, 9}, std::nullopt) != "10.1.2.255") return 1;
    if (near({10, 1, 3, 9}, std::nullopt) != "10.1.3.255") return 2;
    if (near({10, 5, 1, 9}, std::nullopt) != "10.5.77.255") return 3;
    if (near({127, 0, 0, 1}, std::nullopt) != "127.255.255.255") return 4;
    if (near({10, 77, 0, 1}, std::nullopt) != "255.255.255.255") return 5;
    if (near({10, 9, 0, 1}, std::nullopt) != "255.255.255.255") return 6;
    if (near({10, 1, 2, 9}, "house") != "10.1.2.255") return 7;
    if (near({10, 5, 1, 9}, "house") != "10.5.77.255") return 8;
    if (near({10, 77, 0, 1}, "10.1.3.3") != "10.1.3.255") return 9;
    return near({10, 1, 2, 9}, "shed") == "255.255.255.255" ? 0 : 10;
  });
  if (result == kNotAllowed) GTEST_SKIP() << "no network namespaces here";
  EXPECT_EQ(result, 0);
}

TEST(Interfaces, NameTheCardsThereAre) {
  const int result = in_own_network([] {
    if (!shell("ip link add house type veth peer name yard")) {
      return kNotAllowed;
    }
    return base::to_line(no_such_card("shed")) ==
                   "no network card of this machine is named \"shed\"; there are lo, yard and house"
               ? 0
               : 1;
  });
  if (result == kNotAllowed) GTEST_SKIP() << "no network namespaces here";
  EXPECT_EQ(result, 0);
  EXPECT_EQ(base::to_line(no_such_card("192.0.2.1")),
            "no network card of this machine has the address 192.0.2.1; an address that `ip "
            "address` lists, or none");
}

}  // namespace
}  // namespace panewalk::io
