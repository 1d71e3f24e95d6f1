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

}  // namespace
}  // namespace panewalk::web
