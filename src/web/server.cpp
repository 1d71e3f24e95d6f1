#include "web/server.hpp"

#include <array>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/ip/v6_only.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http/parser.hpp>
#include <boost/beast/http/read.hpp>
#include <boost/beast/http/rfc7230.hpp>
#include <boost/beast/http/string_body.hpp>

#include "io/random.hpp"
#include "web/hub.hpp"
#include "web/names.hpp"
#include "web/websocket.hpp"

namespace panewalk::web {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
using asio::ip::tcp;
using boost::system::error_code;

/// After a refusal the client may still be sending; closing at once would take the answer from it.
constexpr Duration kLinger = std::chrono::seconds{2};
constexpr std::size_t kLingerBytes = 1UL << 20U;
/// After an accept that failed, such as for want of descriptors.
constexpr Duration kAcceptAgain = std::chrono::milliseconds{200};
/// RFC 6455 section 4.1: 16 octets in base64.
constexpr std::size_t kKeySize = 24;

using Fields = http::request<http::string_body>;

/// "" where it is missing or there more than once.
std::string only(const Fields& fields, http::field name) {
  return fields.count(name) == 1 ? std::string{fields[name]} : std::string{};
}

/// Without the port. A dual-stack socket gives IPv4 clients as ::ffff:192.0.2.7.
std::string address_of(const tcp::socket& socket) {
  error_code error;
  const asio::ip::address address = socket.remote_endpoint(error).address();
  if (error) return "";
  if (address.is_v6() && address.to_v6().is_v4_mapped()) {
    return asio::ip::make_address_v4(asio::ip::v4_mapped, address.to_v6()).to_string();
  }
  return address.to_string();
}

Request plain(const Fields& fields, const std::string& from) {
  return {.method = std::string{fields.method_string()},
          .target = std::string{fields.target()},
          .body = fields.body(),
          .content_type = only(fields, http::field::content_type),
          .host = only(fields, http::field::host),
          .origin = only(fields, http::field::origin),
          .has_origin = fields.count(http::field::origin) > 0,
          .cookie = only(fields, http::field::cookie),
          .if_none_match = only(fields, http::field::if_none_match),
          .from = from};
}

bool asks_for_live(const Fields& fields) {
  return fields.target() == kLivePath && fields.method() == http::verb::get &&
         http::token_list{fields[http::field::upgrade]}.exists("websocket");
}

/// What keeps an upgrade from being taken.
std::optional<Response> faulty_upgrade(const Fields& fields) {
  if (only(fields, http::field::sec_websocket_version) != "13") {
    Response response = refusal(
        426, {{.where = "Sec-WebSocket-Version", .what = "another version", .remedy = "13"}});
    response.headers = {{"Sec-WebSocket-Version", "13"}};
    return response;
  }
  if (fields.version() != 11 ||
      !http::token_list{fields[http::field::connection]}.exists("upgrade") ||
      only(fields, http::field::sec_websocket_key).size() != kKeySize) {
    return refusal(400,
                   {{.where = kLivePath,
                     .what = "not a WebSocket handshake",
                     .remedy = "HTTP/1.1 with Connection: Upgrade and one Sec-WebSocket-Key"}});
  }
  return std::nullopt;
}

/// What the parser made of bytes that are no request we take. Nothing where the client just left.
std::optional<Response> faulty_request(error_code error, const ServerLimits& limits) {
  if (error == http::error::header_limit) {
    return refusal(431, {{.what = "the header is too large",
                          .remedy = "at most " + std::to_string(limits.header_bytes) + " bytes"}});
  }
  if (error == http::error::body_limit) {
    return refusal(413, {{.what = "the body is too large",
                          .remedy = "at most " + std::to_string(kMostBody) + " bytes"}});
  }
  if (error == http::error::end_of_stream || error == http::error::partial_message ||
      error.category() != http::make_error_code(http::error::bad_method).category()) {
    return std::nullopt;
  }
  return refusal(400, {{.what = "not an HTTP request: " + error.message(), .remedy = "HTTP/1.1"}});
}

/// One connection, one request after the other.
class HttpSession final : public Client, public std::enable_shared_from_this<HttpSession> {
 public:
  HttpSession(tcp::socket socket, std::shared_ptr<Hub> hub, Seat seat)
      : hub_{std::move(hub)}, seat_{std::move(seat)}, stream_{std::move(socket)} {
    hub_->came(*this, seat_);
  }
  ~HttpSession() override { hub_->left(*this, seat_); }
  HttpSession(const HttpSession&) = delete;
  HttpSession& operator=(const HttpSession&) = delete;

  void cut() override { stream_.close(); }

  void read_request() {
    parser_.emplace();
    parser_->header_limit(hub_->limits().header_bytes);
    parser_->body_limit(kMostBody);
    stream_.expires_after(seat_.room == Room::kYes ? hub_->limits().idle
                                                   : hub_->limits().handshake);
    http::async_read_header(stream_, buffer_, *parser_,
                            [self = shared_from_this()](error_code error, std::size_t /*read*/) {
                              if (self->may_go_on(error)) self->take_header();
                            });
  }

 private:
  /// Answers what is no request; false where the connection ends.
  bool may_go_on(error_code error) {
    if (!hub_->is_open()) return false;
    if (!error) return true;
    if (auto response = faulty_request(error, hub_->limits())) {
      respond(*response, Connection::kCloses);
    }
    return false;
  }

  void take_header() {
    const Fields& fields = parser_->get();
    if (seat_.room != Room::kYes) return respond(no_room(), Connection::kCloses);
    const Request request = plain(fields, seat_.address);
    if (auto response = hub_->turned_away(request)) {
      return respond(*response, Connection::kCloses);
    }
    if (asks_for_live(fields)) return upgrade(fields, hub_->session_of(request));
    // RFC 9110 section 10.1.1.
    if (beast::iequals(only(fields, http::field::expect), "100-continue")) {
      out_ = "HTTP/1.1 100 Continue\r\n\r\n";
      asio::async_write(stream_, asio::buffer(out_),
                        [self = shared_from_this()](error_code error, std::size_t /*written*/) {
                          if (!error && self->hub_->is_open()) self->read_body();
                        });
      return;
    }
    read_body();
  }

  [[nodiscard]] Response no_room() const {
    const ServerLimits& limits = hub_->limits();
    Response full = refusal(
        503, {{.what = seat_.room == Room::kNo
                           ? std::to_string(limits.clients) + " clients are connected already"
                           : std::to_string(limits.clients_from_one) + " clients from " +
                                 seat_.address + " are connected already",
               .remedy = "close a page that shows this, or try again in a few seconds"}});
    full.headers = {{"Retry-After", "5"}};
    return full;
  }

  void read_body() {
    stream_.expires_after(hub_->limits().idle);
    http::async_read(stream_, buffer_, *parser_,
                     [self = shared_from_this()](error_code error, std::size_t /*read*/) {
                       if (self->may_go_on(error)) self->take_request();
                     });
  }

  void take_request() {
    const Fields& fields = parser_->get();
    const Request request = plain(fields, seat_.address);
    respond(hub_->answer(request), fields.keep_alive() ? Connection::kStays : Connection::kCloses,
            request.method == "HEAD" ? Part::kHead : Part::kWhole);
  }

  void upgrade(const Fields& fields, const std::string& session) {
    if (auto response = faulty_upgrade(fields)) return respond(*response, Connection::kCloses);
    UpgradeCall call{.address = seat_.address,
                     .session = session,
                     .target = std::string{fields.target()},
                     .headers = {}};
    for (const auto& field : fields) {
      call.headers.emplace_back(std::string{field.name_string()}, std::string{field.value()});
    }
    stream_.expires_never();
    serve_live(stream_.release_socket(), call, hub_);
  }

  void respond(const Response& response, Connection connection, Part part = Part::kWhole) {
    out_ = to_bytes(response, connection, part);
    stream_.expires_after(hub_->limits().idle);
    asio::async_write(
        stream_, asio::buffer(out_),
        [self = shared_from_this(), connection](error_code error, std::size_t /*written*/) {
          if (error || !self->hub_->is_open()) return;
          if (connection == Connection::kStays) return self->read_request();
          self->linger();
        });
  }

  /// Reads on for a while, so that the answer arrives before the end does.
  void linger() {
    error_code ignored;
    stream_.socket().shutdown(tcp::socket::shutdown_send, ignored);
    stream_.expires_after(kLinger);
    buffer_.clear();
    drain();
  }

  void drain() {
    stream_.async_read_some(buffer_.prepare(4096),
                            [self = shared_from_this()](error_code error, std::size_t read) {
                              self->drained_ += read;
                              if (!error && self->drained_ < kLingerBytes && self->hub_->is_open())
                                self->drain();
                            });
  }

  std::shared_ptr<Hub> hub_;
  Seat seat_;
  beast::tcp_stream stream_;
  beast::flat_buffer buffer_{kMostBody + (32U << 10U)};
  std::optional<http::request_parser<http::string_body>> parser_;
  std::string out_;
  std::size_t drained_ = 0;
};

}  // namespace

/// Takes connections as long as the server stands.
class Listener : public std::enable_shared_from_this<Listener> {
 public:
  Listener(asio::io_context& context, std::shared_ptr<Hub> hub)
      : hub_{std::move(hub)}, acceptor_{context}, again_{context} {}

  error_code open(const tcp::endpoint& endpoint) {
    error_code error;
    acceptor_.open(endpoint.protocol(), error);
    // "::" takes IPv4 too, whatever the system's setting.
    if (!error && endpoint.address().is_v6() && endpoint.address().is_unspecified()) {
      acceptor_.set_option(asio::ip::v6_only{false}, error);
    }
    // Connections of a server that just ended must not keep the port.
    if (!error) acceptor_.set_option(asio::socket_base::reuse_address{true}, error);
    if (!error) acceptor_.bind(endpoint, error);
    if (!error) acceptor_.listen(asio::socket_base::max_listen_connections, error);
    return error;
  }
  [[nodiscard]] std::uint16_t port() const {
    error_code error;
    return acceptor_.local_endpoint(error).port();
  }
  void close() {
    error_code ignored;
    acceptor_.close(ignored);
    again_.cancel();
  }

  void accept() {
    acceptor_.async_accept([self = shared_from_this()](error_code error, tcp::socket socket) {
      if (!self->hub_->is_open()) return;
      if (error) return self->accept_later(error.value());
      self->take(std::move(socket));
      self->accept();
    });
  }

 private:
  void take(tcp::socket socket) {
    std::string address = address_of(socket);
    const auto room = hub_->room(address);
    if (!room) return;
    error_code ignored;
    socket.set_option(tcp::no_delay{true}, ignored);
    std::make_shared<HttpSession>(std::move(socket), hub_,
                                  Seat{.room = *room, .address = std::move(address)})
        ->read_request();
  }

  void accept_later(int reason) {
    hub_->turned_away_by(reason);
    again_.expires_after(kAcceptAgain);
    again_.async_wait([self = shared_from_this()](error_code error) {
      if (!error && self->hub_->is_open()) self->accept();
    });
  }

  std::shared_ptr<Hub> hub_;
  tcp::acceptor acceptor_;
  asio::steady_timer again_;
};

namespace {

base::Problem cannot_listen(const std::string& address, std::uint16_t port, error_code error) {
  if (error == asio::error::address_in_use) {
    return {.where = address + ':' + std::to_string(port),
            .what = "port " + std::to_string(port) + " is taken by another program",
            .remedy = "give another port, or 0 for any that is free"};
  }
  if (error == boost::system::errc::address_not_available) {
    return {.where = address,
            .what = "not an address of this machine",
            .remedy =
                "127.0.0.1, an address of this machine's network, or 0.0.0.0 for all of "
                "them"};
  }
  return {.where = address + ':' + std::to_string(port),
          .what = "can't listen there: " + error.message(),
          .remedy = error == boost::system::errc::permission_denied
                        ? "give a port from 1024 to 65535, or 0 for any that is free"
                        : ""};
}

std::optional<std::string> new_code() {
  std::array<std::uint8_t, 64> octets{};
  if (!io::fill_at_random(octets)) return std::nullopt;
  return make_code(octets);
}

/// What people open: where it listens on every address, one that a phone can reach.
std::string link_to(const Door& door) {
  const std::string host =
      door.reach == Reach::kEveryAddress ? host_for_others(door.address) : as_host(door.address);
  return "http://" + host + ':' + std::to_string(door.port) + '/';
}

}  // namespace

Server::Server(asio::io_context& context, io::Session& session, ServerOptions options)
    : address_{options.address},
      port_{options.port},
      hub_{std::make_shared<Hub>(context, session, std::move(options))},
      listener_{std::make_shared<Listener>(context, hub_)} {}

Server::~Server() { stop(); }

base::Result<Opened> Server::start() {
  error_code error;
  const asio::ip::address address =
      asio::ip::make_address(address_ == "localhost" ? "127.0.0.1" : address_, error);
  if (error) {
    return base::Problems{{.where = address_,
                           .what = "not an IP address",
                           .remedy = "127.0.0.1, an address of this machine's network, or 0.0.0.0 "
                                     "for all of them"}};
  }
  error = listener_->open({address, port_});
  if (error) return base::Problems{cannot_listen(address_, port_, error)};
  Opened opened{.door = {.address = address.to_string(), .port = listener_->port()}};
  Door& door = opened.door;
  std::optional<Join> join;
  if (!address.is_loopback()) {
    door.reach = address.is_unspecified() ? Reach::kEveryAddress : Reach::kOneAddress;
    if (address.is_unspecified()) door.hosts = hosts_of_this_machine(door.address);
    const auto code = new_code();
    if (!code) return base::Problems{{.what = "no random numbers for a join code"}};
    join.emplace(*code);
  }
  opened.link = link_to(door);
  if (join) {
    opened.invitation = {.code = grouped(join->code()),
                         .link = opened.link + "#/join/" + join->code()};
  }
  hub_->open(door, std::move(join));
  listener_->accept();
  return opened;
}

void Server::stop() {
  listener_->close();
  hub_->close();
}

bool Server::watched() const { return hub_->watched(); }

void Server::site_was_read(std::shared_ptr<const site::Site> site, std::vector<std::string> notes) {
  hub_->site_was_read(std::move(site), std::move(notes));
}

}  // namespace panewalk::web
