#include "web/server.hpp"

#include <gtest/gtest.h>

#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>
#include <thread>
#include <vector>

#include "golden.hpp"
#include "running.hpp"

namespace panewalk::web {
namespace {

namespace asio = boost::asio;
using test::has;
using test::kSteady;
using test::Running;
using test::status_of;
using test::TcpClient;
using test::WebSocketClient;

// The golden files that don't hang on what the stream does, over a real socket. Their port is not
// the one that is free here.
TEST(Server, PutsTheGoldenBytesOnTheWire) {
  Running running;
  const std::string port = std::to_string(running.port());
  const auto with_port = [&port](std::string text) {
    // On from what was put in: a port such as 37007 holds the digits that are looked for.
    for (std::size_t at = text.find("7007"); at != std::string::npos;
         at = text.find("7007", at + port.size())) {
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
            "Content-Length: 159\r\n"
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
            "      \"remedy\": \"GET /api/openapi.json lists what there is\"\n"
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
  auto page = std::make_unique<WebSocketClient>(door.value().door.port);
  TcpClient idle{door.value().door.port};
  ASSERT_TRUE(page->next());
  asio::post(context, [&server] { server.stop(); });
  control.join();  // run() returns only when nothing waits any more
  EXPECT_TRUE(page->tcp().ended());
  EXPECT_TRUE(idle.ended());
  EXPECT_FALSE(TcpClient{door.value().door.port}.connected());
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

TEST(Server, ListensOnAddressesOfThisMachineOnly) {
  Running running;
  asio::io_context context{1};
  for (const char* address :
       {"192.0.2.7", "2001:db8::7", "boathouse.example", "", "127.0.0.1:80"}) {
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
