#include "web/gate.hpp"

#include <gtest/gtest.h>

namespace panewalk::web {
namespace {

const Door kDoor{.address = "127.0.0.1", .port = 7007};

Request from(const std::string& host, const char* origin = nullptr) {
  return {.method = "POST",
          .target = "/api/dark",
          .host = host,
          .origin = origin == nullptr ? "" : origin,
          .has_origin = origin != nullptr};
}

TEST(Gate, LetsInCallsToTheLoopbackNames) {
  for (const char* host : {"127.0.0.1:7007", "localhost:7007", "LocalHost:7007", "[::1]:7007"}) {
    EXPECT_FALSE(turned_away(from(host), kDoor)) << host;
  }
}

TEST(Gate, TurnsAwayCallsToAnyOtherName) {
  for (const char* host : {"", "127.0.0.1", "localhost", "127.0.0.1:7008", "boathouse.example:7007",
                           "localhost.boathouse.example:7007", "127.0.0.1:7007.boathouse.example",
                           "user@localhost:7007", "127.0.0.2:7007", " localhost:7007",
                           "localhost:07007", "::1:7007"}) {
    const auto response = turned_away(from(host), kDoor);
    ASSERT_TRUE(response) << host;
    EXPECT_EQ(response->status, 403) << host;
  }
}

TEST(Gate, LetsInPagesOfItsOwn) {
  for (const char* origin :
       {"http://127.0.0.1:7007", "http://localhost:7007", "http://[::1]:7007"}) {
    EXPECT_FALSE(turned_away(from("localhost:7007", origin), kDoor)) << origin;
  }
}

TEST(Gate, TurnsAwayPagesFromElsewhere) {
  for (const char* origin :
       {"", "null", "http://boathouse.example", "http://localhost", "http://localhost:3000",
        "https://localhost:7007", "http://localhost:7007.boathouse.example",
        "http://localhost:7007/", "file://"}) {
    const auto response = turned_away(from("localhost:7007", origin), kDoor);
    ASSERT_TRUE(response) << origin;
    EXPECT_EQ(response->status, 403) << origin;
  }
}

TEST(Gate, KnowsItsOwnAddress) {
  const Door second{.address = "127.0.0.2", .port = 7007};
  EXPECT_FALSE(turned_away(from("127.0.0.2:7007", "http://127.0.0.2:7007"), second));
  EXPECT_EQ(names_of({.address = "::1", .port = 7007}),
            (std::vector<std::string>{"127.0.0.1:7007", "localhost:7007", "[::1]:7007"}));
}

// RFC 9110 section 4.2.1: the port of http is 80, and a browser leaves it out.
TEST(Gate, TakesNamesWithoutAPortOnPort80) {
  const Door plain{.address = "127.0.0.1", .port = 80};
  EXPECT_FALSE(turned_away(from("localhost", "http://localhost"), plain));
  EXPECT_FALSE(turned_away(from("localhost:80", "http://localhost:80"), plain));
}

TEST(Gate, KnowsOneAddressOnlyWhereItListensOnThat) {
  const Door door{.address = "192.0.2.7", .port = 7007, .reach = Reach::kOneAddress};
  EXPECT_EQ(names_of(door), (std::vector<std::string>{"192.0.2.7:7007"}));
  EXPECT_FALSE(turned_away(from("192.0.2.7:7007", "http://192.0.2.7:7007"), door));
  for (const char* host : {"127.0.0.1:7007", "localhost:7007", "192.0.2.8:7007", "192.0.2.7"}) {
    EXPECT_TRUE(turned_away(from(host), door)) << host;
  }
  EXPECT_TRUE(turned_away(from("192.0.2.7:7007", "http://localhost:7007"), door));
}

TEST(Gate, KnowsTheMachinesNamesWhereItListensOnAllOfThem) {
  const Door door{.address = "::",
                  .port = 7007,
                  .reach = Reach::kEveryAddress,
                  .hosts = {"localhost", "192.0.2.7", "[2001:db8::7]", "boathouse.local"}};
  for (const char* host : {"localhost:7007", "192.0.2.7:7007", "[2001:DB8::7]:7007",
                           "boathouse.local:7007", "Boathouse.local:7007"}) {
    EXPECT_FALSE(turned_away(from(host), door)) << host;
  }
  EXPECT_TRUE(turned_away(from("[::]:7007"), door));
  EXPECT_TRUE(turned_away(from("boathouse:7007"), door));
}

TEST(Gate, DoesNotTellOthersTheNamesOfThisMachine) {
  const Door door{.address = "0.0.0.0",
                  .port = 7007,
                  .reach = Reach::kEveryAddress,
                  .hosts = {"192.0.2.7", "boathouse"}};
  EXPECT_EQ(turned_away(from("192.0.2.9:7007"), door)->body,
            "{\n  \"problems\": [\n    {\n      \"where\": \"Host\",\n"
            "      \"message\": \"\\\"192.0.2.9:7007\\\" is not a name of this server\",\n"
            "      \"remedy\": \"the address that serve printed\"\n    }\n  ]\n}\n");
}

// RFC 3986 section 3.2.2; a zone is of this machine alone (RFC 6874).
TEST(Gate, WritesIpv6InBrackets) {
  EXPECT_EQ(as_host("192.0.2.7"), "192.0.2.7");
  EXPECT_EQ(as_host("2001:db8::7"), "[2001:db8::7]");
  EXPECT_EQ(as_host("fe80::7%eth0"), "[fe80::7]");
}

}  // namespace
}  // namespace panewalk::web
