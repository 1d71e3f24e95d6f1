#include "web/join_route.hpp"

#include <gtest/gtest.h>

namespace panewalk::web {
namespace {

using namespace std::chrono_literals;

constexpr Instant kStart{1000s};
constexpr const char* kToken = "00112233445566778899aabbccddeeff";

std::optional<std::string> new_token() { return kToken; }
std::optional<std::string> no_token() { return std::nullopt; }

Request post(const std::string& target, const std::string& body, const std::string& cookie = "") {
  return {.method = "POST",
          .target = target,
          .body = body,
          .content_type = "application/json",
          .cookie = cookie,
          .from = "192.0.2.7"};
}

Response ask(const Request& request, Join& join) {
  return join_answer(request, &join, kStart, new_token).response;
}

TEST(JoinRoute, IsThreePaths) {
  for (const char* target : {"/api/join", "/api/leave", "/api/joined", "/api/join?x"}) {
    EXPECT_TRUE(is_about_joining(target)) << target;
  }
  for (const char* target : {"/api/join/", "/api/Join", "/api/joine", "/api/site", "/", ""}) {
    EXPECT_FALSE(is_about_joining(target)) << target;
  }
}

TEST(JoinRoute, GivesACookieForTheCode) {
  Join join{"7KWM4TQX"};
  const Response response = ask(post("/api/join", R"({"code":"7kwm-4tqx"})"), join);
  EXPECT_EQ(to_bytes(response, Connection::kStays),
            "HTTP/1.1 200 OK\r\n"
            "Content-Type: application/json\r\n"
            "Content-Length: 21\r\n"
            "Cache-Control: no-store\r\n"
            "Content-Security-Policy: default-src 'self'; base-uri 'none'; form-action 'none'; "
            "frame-ancestors 'none'; object-src 'none'\r\n"
            "Cross-Origin-Resource-Policy: same-origin\r\n"
            "Referrer-Policy: no-referrer\r\n"
            "X-Content-Type-Options: nosniff\r\n"
            "Set-Cookie: panewalk=00112233445566778899aabbccddeeff; Path=/; HttpOnly; "
            "SameSite=Strict\r\n"
            "\r\n"
            "{\n  \"joined\": true\n}\n");
  EXPECT_EQ(join.session_of(std::string{"panewalk="} + kToken, kStart), kToken);
}

TEST(JoinRoute, RefusesAWrongCodeAndThenAllOfThem) {
  Join join{"7KWM4TQX"};
  for (int i = 0; i < 5; ++i) {
    const Response wrong = ask(post("/api/join", R"({"code":"22222222"})"), join);
    EXPECT_EQ(wrong.status, 403);
    EXPECT_EQ(wrong.body,
              "{\n  \"problems\": [\n    {\n      \"where\": \"/code\",\n"
              "      \"message\": \"not the join code\",\n"
              "      \"remedy\": \"the code that serve printed when it started\"\n    }\n  ]\n}\n");
  }
  const Response late =
      join_answer(post("/api/join", R"({"code":"7KWM4TQX"})"), &join, kStart + 58500ms, new_token)
          .response;
  EXPECT_EQ(late.status, 429);
  EXPECT_EQ(late.headers, (std::vector<std::pair<std::string, std::string>>{{"Retry-After", "2"}}));
  EXPECT_EQ(
      late.body,
      "{\n  \"problems\": [\n    {\n      \"where\": \"/code\",\n"
      "      \"message\": \"too many wrong codes within a minute; this one was not looked at\","
      "\n      \"remedy\": \"try again in 2 seconds\"\n    }\n  ]\n}\n");
  EXPECT_FALSE(join.session_of(std::string{"panewalk="} + kToken, kStart));
}

TEST(JoinRoute, DoesNotCountWhatIsNoCodeAtAll) {
  Join join{"7KWM4TQX"};
  for (int i = 0; i < 30; ++i) {
    EXPECT_EQ(ask(post("/api/join", R"({"cod":"7KWM4TQX"})"), join).status, 400);
    EXPECT_EQ(ask(post("/api/join", R"({"code":7})"), join).status, 400);
    EXPECT_EQ(ask(post("/api/join", ""), join).status, 400);
  }
  EXPECT_EQ(ask(post("/api/join", R"({"code":"7KWM4TQX"})"), join).status, 200);
}

TEST(JoinRoute, RefusesOtherTypesMethodsAndQueries) {
  Join join{"7KWM4TQX"};
  Request form = post("/api/join", R"({"code":"7KWM4TQX"})");
  form.content_type = "text/plain";
  EXPECT_EQ(ask(form, join).status, 415);
  Request get = post("/api/join", "");
  get.method = "GET";
  EXPECT_EQ(ask(get, join).status, 405);
  EXPECT_EQ(ask(post("/api/joined", ""), join).status, 405);
  EXPECT_EQ(ask(post("/api/leave?all", ""), join).status, 400);
  EXPECT_EQ(ask(post("/api/leave", R"({"all":true})"), join).status, 400);
}

TEST(JoinRoute, SaysThatThereIsNoTokenRatherThanTakingAWeakOne) {
  Join join{"7KWM4TQX"};
  const auto answer =
      join_answer(post("/api/join", R"({"code":"7KWM4TQX"})"), &join, kStart, no_token);
  EXPECT_EQ(answer.response.status, 503);
  EXPECT_TRUE(answer.response.headers.empty());
}

TEST(JoinRoute, TellsWhoHasJoinedAndForgetsThem) {
  Join join{"7KWM4TQX"};
  join.admit(kToken, kStart);
  const std::string cookie = std::string{"panewalk="} + kToken;
  Request joined{.method = "GET", .target = "/api/joined", .cookie = cookie};
  EXPECT_EQ(ask(joined, join).body, "{\n  \"needed\": true,\n  \"joined\": true\n}\n");
  const JoinAnswer left = join_answer(post("/api/leave", "", cookie), &join, kStart, new_token);
  EXPECT_EQ(left.left, kToken);
  EXPECT_EQ(left.response.body, "{\n  \"joined\": false\n}\n");
  EXPECT_EQ(left.response.headers,
            (std::vector<std::pair<std::string, std::string>>{
                {"Set-Cookie", "panewalk=; Max-Age=0; Path=/; HttpOnly; SameSite=Strict"}}));
  EXPECT_EQ(ask(joined, join).body, "{\n  \"needed\": true,\n  \"joined\": false\n}\n");
  EXPECT_EQ(join_answer(post("/api/leave", "", cookie), &join, kStart, new_token).left, "");
}

TEST(JoinRoute, TakesEverybodyAsJoinedWhereNoCodeIsNeeded) {
  const auto on_loopback = [](const Request& request) {
    return join_answer(request, nullptr, kStart, new_token).response;
  };
  EXPECT_EQ(on_loopback({.method = "GET", .target = "/api/joined"}).body,
            "{\n  \"needed\": false,\n  \"joined\": true\n}\n");
  for (const Request& request :
       {post("/api/join", R"({"code":"whatever"})"), post("/api/leave", "")}) {
    const Response response = on_loopback(request);
    EXPECT_EQ(response.body, "{\n  \"joined\": true\n}\n");
    EXPECT_TRUE(response.headers.empty());
  }
}

TEST(JoinRoute, RefusesEveryOtherCallWithThisWhole) {
  EXPECT_EQ(
      to_bytes(not_joined({.method = "GET", .target = "/api/site"}), Connection::kCloses),
      "HTTP/1.1 401 Unauthorized\r\n"
      "Content-Type: application/json\r\n"
      "Content-Length: 180\r\n"
      "Cache-Control: no-store\r\n"
      "Content-Security-Policy: default-src 'self'; base-uri 'none'; form-action 'none'; "
      "frame-ancestors 'none'; object-src 'none'\r\n"
      "Cross-Origin-Resource-Policy: same-origin\r\n"
      "Referrer-Policy: no-referrer\r\n"
      "X-Content-Type-Options: nosniff\r\n"
      "WWW-Authenticate: JoinCode\r\n"
      "Connection: close\r\n"
      "\r\n"
      "{\n  \"problems\": [\n    {\n      \"where\": \"/api/site\",\n"
      "      \"message\": \"this device has not joined\",\n"
      "      \"remedy\": \"open the page and give the code that serve printed\"\n    }\n  ]\n}"
      "\n");
}

}  // namespace
}  // namespace panewalk::web
