#include <gtest/gtest.h>

#include "running.hpp"

namespace panewalk::web {
namespace {

using test::has;
using test::kSteady;
using test::Running;
using test::status_of;
using test::WebSocketClient;

TEST(LiveSocket, AnswersTheHandshakeOfRfc6455) {
  Running running;
  const WebSocketClient page{running.port()};
  EXPECT_EQ(status_of(page.handshake()), "HTTP/1.1 101 Switching Protocols");
  // RFC 6455 section 1.3.
  EXPECT_TRUE(has(page.handshake(), "Sec-WebSocket-Accept: s3pPLMBiTxaQ9kYGzzhZRbK+xOo=\r\n"));
  EXPECT_FALSE(has(page.handshake(), "Beast"));
}

TEST(LiveSocket, RefusesAHandshakeThatIsNone) {
  Running running;
  const std::string upgrade = "Upgrade: websocket\r\nConnection: Upgrade\r\n";
  const std::string key = "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n";
  const std::string version =
      running.get("/api/live", upgrade + key + "Sec-WebSocket-Version: 8\r\n");
  EXPECT_EQ(status_of(version), "HTTP/1.1 426 Upgrade Required");
  EXPECT_TRUE(has(version, "\r\nSec-WebSocket-Version: 13\r\n"));
  EXPECT_EQ(status_of(running.get("/api/live", upgrade + "Sec-WebSocket-Version: 13\r\n")),
            "HTTP/1.1 400 Bad Request");
  EXPECT_EQ(status_of(running.get("/api/live", key + "Upgrade: websocket\r\nConnection: close\r\n"
                                                     "Sec-WebSocket-Version: 13\r\n")),
            "HTTP/1.1 400 Bad Request");
  EXPECT_EQ(status_of(running.get("/api/live")), "HTTP/1.1 426 Upgrade Required");
}

TEST(LiveSocket, TellsAPageTheStateAtOnceAndWhenItChanges) {
  Running running;
  WebSocketClient page{running.port()};
  const auto first = page.next();
  ASSERT_TRUE(first);
  EXPECT_EQ(first->opcode, test::kText);
  EXPECT_TRUE(has(first->payload, R"({"mode":"silent","pattern":null,)")) << first->payload;

  ASSERT_EQ(status_of(running.post("/api/light", kSteady)), "HTTP/1.1 200 OK");
  // 30 % of 255 is 77 (76.5 rounded); four pixels of three channels, and the white chip of the
  // lantern's two.
  const std::string lit = page.text_with(R"("sent":"4d4d4d4d4d4d4d4d4d4d4d4d")");
  EXPECT_TRUE(has(lit, R"({"mode":"lit","pattern":"steady","region":null,"level":0.3,)")) << lit;
  // The lantern's controller may be a frame behind.
  const bool lantern_too = has(lit, R"("sent":"0000004d0000004d")");
  EXPECT_TRUE(lantern_too || !page.text_with(R"("sent":"0000004d0000004d")").empty()) << lit;
  EXPECT_NE(page.text_with(R"("shown":"4d4d4d4d4d4d4d4d4d4d4d4d")"), "");

  running.post("/api/dark", "");
  EXPECT_NE(page.text_with(R"({"mode":"dark","pattern":null,)"), "");
  running.post("/api/release", "");
  EXPECT_NE(page.text_with(R"({"mode":"silent",)"), "");
}

TEST(LiveSocket, StepsThePictureByHand) {
  Running running;
  WebSocketClient page{running.port()};
  running.post("/api/light", R"({"prop":"oar-rack","pattern":"one-each"})");
  running.post("/api/step", R"({"go":"hold"})");
  const std::string held = page.text_with(R"("by_hand":true)");
  ASSERT_TRUE(has(held, R"("beats":4)")) << held;
  running.post("/api/step", R"({"go":"back"})");
  EXPECT_NE(page.text_with(R"("beat":4,"beats":4,"caption":"pixel 4")"), "");
}

TEST(LiveSocket, SendsAtMostTwentyMessagesASecond) {
  Running running;
  WebSocketClient page{running.port()};
  running.post("/api/light", R"({"prop":"oar-rack","pattern":"one-each"})");
  ASSERT_NE(page.text_with(R"("mode":"lit")"), "");
  int messages = 0;
  const auto begin = std::chrono::steady_clock::now();
  // The fade makes every frame differ.
  while (std::chrono::steady_clock::now() - begin < std::chrono::milliseconds{500}) {
    running.post("/api/light", kSteady);
    running.post("/api/dark", "");
    ++messages;
  }
  running.stop();
  int told = 0;
  while (const auto frame = page.next()) told += frame->opcode == test::kText ? 1 : 0;
  const double seconds =
      std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  EXPECT_GT(messages, 0);
  EXPECT_LE(told, 20 * seconds + 2);
}

TEST(LiveSocket, PingsAPageAndEndsOneThatDoesNotAnswer) {
  Running running{{.ping = std::chrono::milliseconds{100}}};
  WebSocketClient page{running.port()};
  bool pinged = false;
  while (const auto frame = page.next()) pinged = pinged || frame->opcode == test::kPing;
  EXPECT_TRUE(pinged);
  EXPECT_TRUE(page.tcp().ended());
}

TEST(LiveSocket, IgnoresWhatAPageSays) {
  Running running;
  WebSocketClient page{running.port()};
  page.send(test::kText, kSteady);
  page.send(test::kText, R"({"mode":"lit"})");
  page.send(test::kPing, "still there");
  std::optional<test::Frame> pong;
  while ((pong = page.next()) && pong->opcode != test::kPong) {
  }
  ASSERT_TRUE(pong);
  EXPECT_EQ(pong->payload, "still there");
  EXPECT_TRUE(has(running.get("/api/light"), "\"mode\": \"silent\""));
}

// RFC 6455 section 7.4.1: 1008 is a violated policy, 1009 a message too big.
TEST(LiveSocket, ClosesAPageThatFloods) {
  Running running;
  WebSocketClient page{running.port()};
  for (int i = 0; i < 40; ++i) page.send(test::kText, "more");
  EXPECT_EQ(page.close_code(), 1008);
  EXPECT_TRUE(page.tcp().ended());
}

TEST(LiveSocket, CutsAPageThatFloodsWithPings) {
  Running running;
  WebSocketClient page{running.port()};
  for (int i = 0; i < 40; ++i) page.send(test::kPing, "");
  while (page.next()) {
  }
  EXPECT_TRUE(page.tcp().ended());
}

TEST(LiveSocket, ClosesAPageWhoseMessageIsMoreThan16KiB) {
  Running running;
  WebSocketClient page{running.port()};
  page.send(test::kText, std::string(16'385, 'a'));
  EXPECT_EQ(page.close_code(), 1009);
}

/// 660 pixels, so that a message with what is sent and shown has 8 kB.
std::shared_ptr<engine::Plan> long_eaves() {
  auto plan = std::make_shared<engine::Plan>();
  plan->site = "boathouse";
  plan->controllers = {{.name = "bench", .address = {.host = {192, 0, 2, 7}, .port = 5568}}};
  test::hang(*plan,
             {.name = "eaves",
              .frame = test::frame_of(prop::LineShape{
                  .from = test::at(0, 0), .to = test::at(99'000, 0), .stations = 660}),
              .placement = {.controller = "bench", .universe = 1}},
             "A B");
  auto patch = patch::assign(
      plan->controllers,
      {{.name = "eaves", .map = &plan->props[0]->map, .placement = plan->props[0]->placement}});
  if (!patch) ADD_FAILURE() << test::lines(patch.error());
  plan->patch = std::move(patch).value();
  plan->walk = {0};
  plan->patterns = {
      {.name = "steady", .steps = {{.action = pattern::LightStep{{{.target = "all"}}}}}},
      {.name = "walk",
       .steps = {
           {.action = pattern::MoveStep{.paint = {.target = "all"}, .pixels_per_second = 10}}}}};
  return plan;
}

TEST(LiveSocket, LetsASlowPageMissStatesAndNobodyElse) {
  Running running{{.between_messages = std::chrono::milliseconds{2}}, long_eaves()};
  WebSocketClient slow{running.port(), "", 2048};
  WebSocketClient page{running.port()};
  running.post("/api/light", R"({"prop":"eaves","pattern":"walk","level":1})");
  // The slow page reads nothing while the other sees this many messages of 8 kB each: far more than
  // the system holds for the slow one, so what is waiting must be dropped.
  std::uint64_t told = 0;
  std::string last;
  for (int i = 0; i < 60; ++i) {
    const auto frame = page.next();
    ASSERT_TRUE(frame);
    told += frame->payload.size();
    last = frame->payload;
  }
  EXPECT_GT(told, 400'000U);
  running.post("/api/dark", "");
  ASSERT_NE(page.text_with(R"({"mode":"dark")"), "");
  const std::string answer = running.get("/api/light");
  EXPECT_EQ(status_of(answer), "HTTP/1.1 200 OK");

  std::uint64_t read = 0;
  bool seen_dark = false;
  while (!seen_dark) {
    const auto frame = slow.next();
    ASSERT_TRUE(frame) << "the slow page never saw the newest state";
    read += frame->payload.size();
    seen_dark = has(frame->payload, R"({"mode":"dark")");
  }
  EXPECT_LT(read, told);
}

}  // namespace
}  // namespace panewalk::web
