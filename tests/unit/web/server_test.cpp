#include "web/server.hpp"

#include <gtest/gtest.h>

#include <atomic>
#include <boost/asio/executor_work_guard.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>
#include <future>
#include <thread>

#include "boathouse.hpp"
#include "client.hpp"
#include "golden.hpp"

namespace panewalk::web {
namespace {

namespace asio = boost::asio;
using test::TcpClient;
using test::WebSocketClient;

/// A server in practice on a free port, with a control thread of its own.
class Running {
 public:
  explicit Running(ServerLimits limits = {}, std::shared_ptr<engine::Plan> plan = test::boathouse())
      : session_{start(std::move(plan))},
        server_{context_, *session_, {.port = 0, .notes = {"a note"}, .limits = limits}} {
    const auto door = server_.start();
    if (!door) ADD_FAILURE() << test::lines(door.error());
    port_ = door.value().port;
    thread_ = std::thread{[this] { context_.run(); }};
  }
  ~Running() {
    stop();
    if (thread_.joinable()) thread_.join();
  }
  Running(const Running&) = delete;
  Running& operator=(const Running&) = delete;

  void stop() {
    asio::post(context_, [this] { server_.stop(); });
  }
  /// After stop(), the context has nothing left to run.
  void join() { thread_.join(); }
  [[nodiscard]] std::uint16_t port() const { return port_; }
  [[nodiscard]] std::string host() const {
    return "Host: 127.0.0.1:" + std::to_string(port_) + "\r\n";
  }
  /// On the control thread.
  template <class Question>
  auto ask(Question question) {
    std::promise<decltype(question(server_, *session_))> promise;
    asio::post(context_,
               [&promise, &question, this] { promise.set_value(question(server_, *session_)); });
    return promise.get_future().get();
  }

  std::string get(const std::string& target, const std::string& headers = "") {
    TcpClient client{port_};
    client.send("GET " + target + " HTTP/1.1\r\n" + host() + headers + "\r\n");
    return client.read_answer();
  }
  std::string post(const std::string& target, const std::string& body) {
    TcpClient client{port_};
    client.send("POST " + target + " HTTP/1.1\r\n" + host() +
                "Content-Type: application/json\r\nContent-Length: " + std::to_string(body.size()) +
                "\r\n\r\n" + body);
    return client.read_answer();
  }

 private:
  static std::unique_ptr<io::Session> start(std::shared_ptr<engine::Plan> plan) {
    auto session =
        io::Session::start(std::move(plan),
                           {.cid = packet::Cid::of({1, 2, 3}),
                            .source_name = packet::SourceName::from("Panewalk test").value(),
                            .reroute = {}},
                           io::Session::To::kPractice);
    if (!session) ADD_FAILURE() << test::lines(session.error());
    return std::move(session).value();
  }

  std::unique_ptr<io::Session> session_;
  asio::io_context context_{1};
  asio::executor_work_guard<asio::io_context::executor_type> work_{context_.get_executor()};
  Server server_;
  std::uint16_t port_ = 0;
  std::thread thread_;

  friend class Ending;
};

std::string status_of(const std::string& answer) { return answer.substr(0, answer.find("\r\n")); }

bool has(const std::string& text, const std::string& words) {
  return text.find(words) != std::string::npos;
}

constexpr const char* kSteady = R"({"props":["oar-rack","lantern"],"pattern":"steady"})";

// The golden files that don't hang on what the stream does, over a real socket. Their port is not
// the one that is free here.
TEST(Server, PutsTheGoldenBytesOnTheWire) {
  Running running;
  const std::string port = std::to_string(running.port());
  const auto with_port = [&port](std::string text) {
    for (std::size_t at = text.find("7007"); at != std::string::npos; at = text.find("7007")) {
      text.replace(at, 4, port);
    }
    return text;
  };
  int count = 0;
  for (const test::Golden& golden : test::all_goldens()) {
    if (golden.answer.find("HTTP/1.1 4") != 0 || golden.view != "silent") continue;
    SCOPED_TRACE(golden.name);
    const std::string body = test::to_request(golden.request).body;
    std::string head = golden.request.substr(0, golden.request.find("\n\n") + 1);
    if (!body.empty()) head += "Content-Length: " + std::to_string(body.size()) + '\n';
    TcpClient client{running.port()};
    client.send(with_port(test::on_the_wire(head + '\n')) + body);
    std::string expected = with_port(test::on_the_wire(golden.answer));
    // A port of another length makes another body.
    const std::string answer = client.read_answer();
    const auto content = [](const std::string& text) {
      return text.substr(text.find("\r\n\r\n") + 4);
    };
    EXPECT_EQ(content(answer), content(expected));
    EXPECT_EQ(status_of(answer), status_of(expected));
    ++count;
  }
  EXPECT_GE(count, 10);
}

TEST(Server, AnswersWithTheseBytesAndNoBanner) {
  Running running;
  EXPECT_EQ(running.get("/nothing"),
            "HTTP/1.1 404 Not Found\r\n"
            "Content-Type: application/json\r\n"
            "Content-Length: 146\r\n"
            "Cache-Control: no-store\r\n"
            "Content-Security-Policy: default-src 'self'; base-uri 'none'; form-action 'none'; "
            "frame-ancestors 'none'; object-src 'none'\r\n"
            "Cross-Origin-Resource-Policy: same-origin\r\n"
            "Referrer-Policy: no-referrer\r\n"
            "X-Content-Type-Options: nosniff\r\n"
            "\r\n"
            "{\n"
            "  \"problems\": [\n"
            "    {\n"
            "      \"where\": \"/nothing\",\n"
            "      \"message\": \"nothing is here\",\n"
            "      \"remedy\": \"GET / lists what there is\"\n"
            "    }\n"
            "  ]\n"
            "}\n");
}

TEST(Server, KeepsAConnectionForFurtherRequestsAndTakesThemAhead) {
  Running running;
  TcpClient client{running.port()};
  const std::string request = "GET /api/site HTTP/1.1\r\n" + running.host() + "\r\n";
  client.send(request + request);
  EXPECT_EQ(status_of(client.read_answer()), "HTTP/1.1 200 OK");
  EXPECT_EQ(status_of(client.read_answer()), "HTTP/1.1 200 OK");
  client.send("GET /api/site HTTP/1.1\r\n" + running.host() + "Connection: close\r\n\r\n");
  EXPECT_TRUE(has(client.read_answer(), "\r\nConnection: close\r\n"));
  EXPECT_TRUE(client.ended());
}

TEST(Server, SendsNoBodyForHead) {
  Running running;
  TcpClient client{running.port()};
  client.send("HEAD /api/site HTTP/1.1\r\n" + running.host() + "Connection: close\r\n\r\n");
  const std::string answer = client.read_to_the_end();
  EXPECT_EQ(status_of(answer), "HTTP/1.1 200 OK");
  EXPECT_FALSE(has(answer, "Content-Length: 0\r\n"));
  EXPECT_EQ(answer.find("\r\n\r\n") + 4, answer.size());
}

TEST(Server, TurnsAwayAForeignHostAndLightsNothing) {
  Running running;
  TcpClient client{running.port()};
  client.send("POST /api/dark HTTP/1.1\r\nHost: boathouse.example\r\n\r\n");
  EXPECT_EQ(status_of(client.read_answer()), "HTTP/1.1 403 Forbidden");
  EXPECT_TRUE(client.ended());
  TcpClient twice{running.port()};
  twice.send("POST /api/dark HTTP/1.1\r\n" + running.host() + running.host() + "\r\n");
  EXPECT_EQ(status_of(twice.read_answer()), "HTTP/1.1 403 Forbidden");
  TcpClient none{running.port()};
  none.send("POST /api/dark HTTP/1.0\r\n\r\n");
  EXPECT_EQ(status_of(none.read_answer()), "HTTP/1.1 403 Forbidden");
  EXPECT_TRUE(has(running.get("/api/light"), "\"mode\": \"silent\""));
}

TEST(Server, TurnsAwayAForeignOriginOnEveryWayIn) {
  Running running;
  const std::string origin = "Origin: http://boathouse.example\r\n";
  EXPECT_EQ(status_of(running.get("/api/light", origin)), "HTTP/1.1 403 Forbidden");
  EXPECT_EQ(status_of(WebSocketClient(running.port(), origin).handshake()),
            "HTTP/1.1 403 Forbidden");
  const std::string own = "Origin: http://localhost:" + std::to_string(running.port()) + "\r\n";
  EXPECT_EQ(status_of(running.get("/api/light", own)), "HTTP/1.1 200 OK");
  EXPECT_EQ(status_of(WebSocketClient(running.port(), own).handshake()),
            "HTTP/1.1 101 Switching Protocols");
}

TEST(Server, RefusesAHeaderOfMoreThan8KiB) {
  Running running;
  const std::string most(7900, 'a');
  EXPECT_EQ(status_of(running.get("/api/site", "X-Long: " + most + "\r\n")), "HTTP/1.1 200 OK");
  const std::string more(9000, 'a');
  const std::string answer = running.get("/api/site", "X-Long: " + more + "\r\n");
  EXPECT_EQ(status_of(answer), "HTTP/1.1 431 Request Header Fields Too Large");
  EXPECT_TRUE(has(answer, "at most 8192 bytes"));
}

TEST(Server, RefusesABodyOfMoreThan64KiBBeforeItCame) {
  Running running;
  TcpClient client{running.port()};
  client.send("POST /api/light HTTP/1.1\r\n" + running.host() +
              "Content-Type: application/json\r\nContent-Length: 65537\r\n\r\n");
  const std::string answer = client.read_answer();
  EXPECT_EQ(status_of(answer), "HTTP/1.1 413 Content Too Large");
  EXPECT_TRUE(has(answer, "at most 65536 bytes"));
  client.send(std::string(65537, ' '));
  EXPECT_TRUE(client.ended());
}

TEST(Server, RefusesChunksOfMoreThan64KiBTogether) {
  Running running;
  TcpClient client{running.port()};
  client.send("POST /api/light HTTP/1.1\r\n" + running.host() +
              "Content-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\n");
  const std::string chunk = "4000\r\n" + std::string(0x4000, ' ') + "\r\n";
  for (int i = 0; i < 5; ++i) client.send(chunk);
  EXPECT_EQ(status_of(client.read_answer()), "HTTP/1.1 413 Content Too Large");
}

TEST(Server, SaysThatABodyMayComeWhenAsked) {
  Running running;
  TcpClient client{running.port()};
  client.send(
      "POST /api/dark HTTP/1.1\r\n" + running.host() +
      "Content-Type: application/json\r\nContent-Length: 2\r\nExpect: 100-continue\r\n\r\n");
  EXPECT_EQ(client.read_through("\r\n\r\n"), "HTTP/1.1 100 Continue\r\n\r\n");
  client.send("{}");
  EXPECT_EQ(status_of(client.read_answer()), "HTTP/1.1 200 OK");
}

TEST(Server, RefusesWhatIsNoHttp) {
  Running running;
  for (const char* bytes : {"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03", "hello\r\n\r\n",
                            "GET /\r\n\r\n", "GET / HTTP/1.1\r\nHost localhost\r\n\r\n",
                            "POST / HTTP/1.1\r\nContent-Length: -1\r\n\r\n"}) {
    TcpClient client{running.port()};
    client.send(bytes);
    client.send("\r\n\r\n");
    EXPECT_EQ(status_of(client.read_answer()), "HTTP/1.1 400 Bad Request") << bytes;
    EXPECT_TRUE(client.ended());
  }
  EXPECT_EQ(status_of(running.get("/api/site")), "HTTP/1.1 200 OK");
}

TEST(Server, TellsTheThirtyThirdClientThatItIsFull) {
  Running running;
  std::vector<std::unique_ptr<TcpClient>> clients;
  const std::string request = "GET /api/patterns HTTP/1.1\r\n" + running.host() + "\r\n";
  for (int i = 0; i < 32; ++i) {
    clients.push_back(std::make_unique<TcpClient>(running.port()));
    clients.back()->send(request);
    ASSERT_EQ(status_of(clients.back()->read_answer()), "HTTP/1.1 200 OK") << i;
  }
  TcpClient late{running.port()};
  late.send(request);
  const std::string answer = late.read_answer();
  EXPECT_EQ(status_of(answer), "HTTP/1.1 503 Service Unavailable");
  EXPECT_TRUE(has(answer, "\r\nRetry-After: 5\r\n"));
  EXPECT_TRUE(late.ended());
  clients[7].reset();
  std::string again;
  for (int i = 0; i < 100 && !has(again, "200 OK"); ++i) {
    TcpClient client{running.port()};
    client.send(request);
    again = client.read_answer();
  }
  EXPECT_EQ(status_of(again), "HTTP/1.1 200 OK");
}

TEST(Server, CutsOffCallersBeyondThoseItTellsSo) {
  Running running{{.clients = 1, .turned_away = 1}};
  TcpClient here{running.port()};
  here.send("GET /api/patterns HTTP/1.1\r\n" + running.host() + "\r\n");
  ASSERT_EQ(status_of(here.read_answer()), "HTTP/1.1 200 OK");
  TcpClient told{running.port()};
  TcpClient cut{running.port()};
  EXPECT_TRUE(cut.ended());
  told.send("GET / HTTP/1.1\r\n" + running.host() + "\r\n");
  EXPECT_EQ(status_of(told.read_answer()), "HTTP/1.1 503 Service Unavailable");
}

TEST(Server, EndsAConnectionThatIsIdle) {
  Running running{{.idle = std::chrono::milliseconds{50}}};
  TcpClient silent{running.port()};
  EXPECT_TRUE(silent.ended());
  TcpClient slow{running.port()};
  slow.send("GET /api/site HT");
  EXPECT_TRUE(slow.ended());
}

TEST(Server, LightsWhatIsAskedBeforeItAnswers) {
  Running running;
  const std::string answer = running.post("/api/light", kSteady);
  EXPECT_EQ(status_of(answer), "HTTP/1.1 200 OK");
  EXPECT_EQ(running.ask([](Server&, io::Session& session) { return session.look()->pattern; }),
            "steady");
}

TEST(Server, AnswersTheHandshakeOfRfc6455) {
  Running running;
  const WebSocketClient page{running.port()};
  EXPECT_EQ(status_of(page.handshake()), "HTTP/1.1 101 Switching Protocols");
  // RFC 6455 section 1.3.
  EXPECT_TRUE(has(page.handshake(), "Sec-WebSocket-Accept: s3pPLMBiTxaQ9kYGzzhZRbK+xOo=\r\n"));
  EXPECT_FALSE(has(page.handshake(), "Beast"));
}

TEST(Server, RefusesAHandshakeThatIsNone) {
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

TEST(Server, TellsAPageTheStateAtOnceAndWhenItChanges) {
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
  EXPECT_TRUE(has(lit, R"("sent":"0000004d0000004d")")) << lit;
  EXPECT_NE(page.text_with(R"("shown":"4d4d4d4d4d4d4d4d4d4d4d4d")"), "");

  running.post("/api/dark", "");
  EXPECT_NE(page.text_with(R"({"mode":"dark","pattern":null,)"), "");
  running.post("/api/release", "");
  EXPECT_NE(page.text_with(R"({"mode":"silent",)"), "");
}

TEST(Server, StepsThePictureByHand) {
  Running running;
  WebSocketClient page{running.port()};
  running.post("/api/light", R"({"prop":"oar-rack","pattern":"one-each"})");
  running.post("/api/step", R"({"go":"hold"})");
  const std::string held = page.text_with(R"("by_hand":true)");
  ASSERT_TRUE(has(held, R"("beats":4)")) << held;
  running.post("/api/step", R"({"go":"back"})");
  EXPECT_NE(page.text_with(R"("beat":4,"beats":4,"caption":"pixel 4")"), "");
}

TEST(Server, SendsAtMostTwentyMessagesASecond) {
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

TEST(Server, PingsAPageAndEndsOneThatDoesNotAnswer) {
  Running running{{.ping = std::chrono::milliseconds{100}}};
  WebSocketClient page{running.port()};
  bool pinged = false;
  while (const auto frame = page.next()) pinged = pinged || frame->opcode == test::kPing;
  EXPECT_TRUE(pinged);
  EXPECT_TRUE(page.tcp().ended());
}

TEST(Server, IgnoresWhatAPageSays) {
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
TEST(Server, ClosesAPageThatFloods) {
  Running running;
  WebSocketClient page{running.port()};
  for (int i = 0; i < 40; ++i) page.send(test::kText, "more");
  EXPECT_EQ(page.close_code(), 1008);
  EXPECT_TRUE(page.tcp().ended());
}

TEST(Server, CutsAPageThatFloodsWithPings) {
  Running running;
  WebSocketClient page{running.port()};
  for (int i = 0; i < 40; ++i) page.send(test::kPing, "");
  while (page.next()) {
  }
  EXPECT_TRUE(page.tcp().ended());
}

TEST(Server, ClosesAPageWhoseMessageIsMoreThan16KiB) {
  Running running;
  WebSocketClient page{running.port()};
  page.send(test::kText, std::string(16'385, 'a'));
  EXPECT_EQ(page.close_code(), 1009);
}

/// Two thousand pixels, so that a message is larger than what the system holds back for a client.
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

TEST(Server, LetsASlowPageMissStatesAndNobodyElse) {
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

TEST(Server, IsWatchedWhileAPageIsOpenAndAfterACall) {
  Running running;
  // It counts as watched from its start, as somebody started it.
  EXPECT_TRUE(running.ask([](Server& server, io::Session&) { return server.watched(); }));
  running.get("/api/site");
  EXPECT_TRUE(running.ask([](Server& server, io::Session&) { return server.watched(); }));
}

TEST(Server, GoesDarkWhenNobodyWatches) {
  auto plan = test::boathouse();
  plan->unwatched = std::chrono::seconds{1};
  Running running{{}, plan};
  running.post("/api/light", kSteady);
  const auto mode = [&running] {
    return running.ask([](Server&, io::Session& session) { return session.live().status.mode; });
  };
  const auto end = std::chrono::steady_clock::now() + test::kPatience;
  engine::Mode seen = mode();
  while (seen != engine::Mode::kDark && std::chrono::steady_clock::now() < end) seen = mode();
  EXPECT_EQ(seen, engine::Mode::kDark);
}

TEST(Server, LeavesNothingBehindWhenItStops) {
  asio::io_context context{1};
  Running other;
  auto session =
      io::Session::start(test::boathouse(),
                         {.cid = packet::Cid::of({1, 2, 3}),
                          .source_name = packet::SourceName::from("Panewalk test").value(),
                          .reroute = {}},
                         io::Session::To::kPractice);
  ASSERT_TRUE(session);
  Server server{context, *session.value(), {}};
  const auto door = server.start();
  ASSERT_TRUE(door);
  std::thread control{[&context] { context.run(); }};
  auto page = std::make_unique<WebSocketClient>(door.value().port);
  TcpClient idle{door.value().port};
  ASSERT_TRUE(page->next());
  asio::post(context, [&server] { server.stop(); });
  control.join();  // run() returns only when nothing waits any more
  EXPECT_TRUE(page->tcp().ended());
  EXPECT_TRUE(idle.ended());
  EXPECT_FALSE(TcpClient{door.value().port}.connected());
}

TEST(Server, NamesThePortThatIsTaken) {
  Running running;
  asio::io_context context{1};
  const int answer = running.ask([&context](Server&, io::Session& session) {
    Server second{context, session, {.port = 0}};
    return second.start() ? 1 : 0;
  });
  EXPECT_EQ(answer, 1);
  const std::string port = std::to_string(running.port());
  const std::string problem = running.ask([&](Server&, io::Session& session) {
    Server second{context, session, {.port = running.port()}};
    const auto door = second.start();
    return door ? std::string{} : test::lines(door.error());
  });
  EXPECT_EQ(problem, "127.0.0.1:" + port + ": port " + port +
                         " is taken by another program; give another port, or 0 for any that is "
                         "free\n");
}

TEST(Server, ListensOnLoopbackOnly) {
  Running running;
  asio::io_context context{1};
  for (const char* address : {"0.0.0.0", "192.0.2.7", "boathouse.example", "", "::"}) {
    const std::string problem = running.ask([&](Server&, io::Session& session) {
      Server second{context, session, {.address = address}};
      const auto door = second.start();
      return door ? std::string{} : test::lines(door.error());
    });
    EXPECT_NE(problem, "") << address;
  }
}

}  // namespace
}  // namespace panewalk::web
