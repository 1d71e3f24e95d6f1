#include <fcntl.h>
#include <poll.h>
#include <sys/socket.h>

#include <boost/asio/io_context.hpp>
#include <chrono>
#include <memory>

#include "config/text.hpp"
#include "io/handle.hpp"
#include "io/session.hpp"
#include "io/socket_address.hpp"
#include "law.hpp"
#include "support/plans.hpp"
#include "web/server.hpp"

namespace {

using namespace panewalk;
using fuzz::hold;

/// The server as it is, on a free port of loopback; its control thread is the fuzzer's.
class Running {
 public:
  Running() {
    auto session = io::Session::start(
        test::plan_of({test::e131_controller("bench")}, {{.name = "oar-rack", .pixels = 3}}),
        {.cid = packet::Cid::of({1, 2, 3}),
         .source_name = packet::SourceName::from("fuzz").value(),
         .reroute = {}},
        io::Session::To::kPractice);
    session_ = std::move(session).value();
    server_ = std::make_unique<web::Server>(context_, *session_, web::ServerOptions{});
    port_ = server_->start().value().door.port;
  }
  [[nodiscard]] std::uint16_t port() const { return port_; }

  /// Sends it all, says that this is the end, and returns what came until the server's end.
  std::string answer(std::string_view request) {
    const io::Handle client{connected()};
    std::string heard;
    const auto end = std::chrono::steady_clock::now() + kPatience;
    bool ended = false, all_sent = false;
    while (!ended) {
      hold(std::chrono::steady_clock::now() < end, "a connection that was closed ends");
      if (!request.empty()) request.remove_prefix(sent(client.get(), request));
      if (request.empty() && !all_sent) {
        ::shutdown(client.get(), SHUT_WR);
        all_sent = true;
      }
      context_.poll();
      ended = !heard_more(client.get(), heard);
      // The other end of a reset is noticed only when it is asked.
      pollfd watched{.fd = client.get(), .events = POLLIN, .revents = 0};
      if (!ended) ::poll(&watched, 1, 0);
    }
    // So that the server is done with it before the next one comes.
    context_.poll();
    return heard;
  }

 private:
  static constexpr std::chrono::seconds kPatience{5};

  [[nodiscard]] int connected() {
    const int client = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    // Ports of ended connections rest a while; each address of 127.0.0.0/8 has its own.
    const sockaddr_in from = address_of(INADDR_LOOPBACK + 1 + connections_++ / 1000 % 50'000, 0);
    const sockaddr_in to = address_of(INADDR_LOOPBACK, port_);
    ::bind(client, reinterpret_cast<const sockaddr*>(&from), sizeof from);
    hold(::connect(client, reinterpret_cast<const sockaddr*>(&to), sizeof to) == 0,
         "the server listens");
    ::fcntl(client, F_SETFL, O_NONBLOCK);
    return client;
  }
  static sockaddr_in address_of(std::uint32_t host, std::uint16_t port) {
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_port = htons(port);
    address.sin_addr.s_addr = htonl(host);
    return address;
  }
  /// Octets that went; all where nobody takes them any more.
  static std::size_t sent(int client, std::string_view request) {
    const ssize_t went = ::send(client, request.data(), request.size(), MSG_NOSIGNAL);
    if (went >= 0) return static_cast<std::size_t>(went);
    return errno == EAGAIN ? 0 : request.size();
  }
  /// False at the end.
  static bool heard_more(int client, std::string& heard) {
    char octets[4096];
    while (true) {
      const ssize_t got = ::recv(client, octets, sizeof octets, 0);
      if (got <= 0) return got < 0 && errno == EAGAIN;
      heard.append(octets, static_cast<std::size_t>(got));
    }
  }

  boost::asio::io_context context_{1};
  std::unique_ptr<io::Session> session_;
  std::unique_ptr<web::Server> server_;
  std::uint16_t port_ = 0;
  std::uint32_t connections_ = 0;
};

/// Requests are written for this port, that of the program.
std::string with_port(std::string request, std::uint16_t port) {
  constexpr std::string_view kWritten = ":8017";
  const std::string ours = ':' + std::to_string(port);
  for (std::size_t at = 0; (at = request.find(kWritten, at)) != std::string::npos;) {
    request.replace(at, kWritten.size(), ours);
    at += ours.size();
  }
  return request;
}

unsigned octet(char letter) { return static_cast<unsigned char>(letter); }

/// RFC 6455 section 5.2: a server's frames are whole, without a mask; each text is JSON.
void hold_frames(std::string_view rest) {
  while (rest.size() >= 2) {
    const unsigned kind = octet(rest[0]);
    hold(kind == 0x81 || kind == 0x88 || kind == 0x89 || kind == 0x8a,
         "a frame is a whole text, close, ping or pong");
    hold((octet(rest[1]) & 0x80U) == 0, "a server's frame has no mask");
    std::size_t size = octet(rest[1]);
    const std::size_t more = size == 126 ? 2 : size == 127 ? 8 : 0;
    if (rest.size() < 2 + more) return;
    if (more > 0) size = 0;
    for (std::size_t i = 0; i < more; ++i) size = size << 8U | octet(rest[2 + i]);
    if (rest.size() - 2 - more < size) return;  // cut where the client left
    const std::string_view payload = rest.substr(2 + more, size);
    if (kind == 0x81) hold(config::read_text(payload).ok(), "each message is JSON", payload);
    rest.remove_prefix(2 + more + size);
  }
}

/// One answer of HTTP after the other, as long as each one says how long it is.
void hold_answers(std::string_view rest, bool may_be_head) {
  while (!rest.empty()) {
    hold(rest.substr(0, 9) == "HTTP/1.1 ", "an answer is HTTP/1.1", rest);
    const std::string_view status = rest.substr(9, 3);
    const std::size_t end = rest.find("\r\n\r\n");
    hold(end != std::string_view::npos, "a header ends", rest);
    const std::string_view header = rest.substr(0, end);
    rest.remove_prefix(end + 4);
    if (status == "101") return hold_frames(rest);
    if (status == "100") continue;
    hold(status[0] >= '2' && status[0] <= '4', "nothing goes wrong in the server", header);
    constexpr std::string_view kLength = "\r\nContent-Length: ";
    const std::size_t at = header.find(kLength);
    hold(at != std::string_view::npos || status == "304" || status == "204",
         "an answer says how long it is", header);
    if (may_be_head || at == std::string_view::npos) return;
    const auto length = std::stoul(std::string{header.substr(at + kLength.size(), 9)});
    hold(length <= rest.size(), "an answer is as long as it says", header);
    rest.remove_prefix(length);
  }
}

}  // namespace

/// What a client sends on one connection: requests of HTTP, an upgrade and the frames behind it.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static auto* const running = new Running;
  const std::string request = with_port(fuzz::text_of(data, size), running->port());
  hold_answers(running->answer(request), request.find("HEAD") != std::string::npos);

  static int calls = 0;
  if (++calls % 64 != 1) return 0;
  const std::string well = running->answer(
      with_port("GET /api/patterns HTTP/1.1\r\nHost: 127.0.0.1:8017\r\n\r\n", running->port()));
  hold(well.substr(0, 15) == "HTTP/1.1 200 OK", "the next client is served", well);
  return 0;
}
