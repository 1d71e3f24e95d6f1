#include "web/websocket.hpp"

#include <array>
#include <boost/asio/buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http/empty_body.hpp>
#include <boost/beast/http/message.hpp>
#include <boost/beast/websocket/rfc6455.hpp>
#include <boost/beast/websocket/stream.hpp>

#include "io/clock.hpp"
#include "web/hub.hpp"

namespace panewalk::web {
namespace {

namespace asio = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
namespace websocket = boost::beast::websocket;
using boost::system::error_code;

/// Old states that wait in the system's queue are seen late; this keeps them few.
constexpr int kSendQueue = 64 << 10;  // bytes

class LiveSession final : public LiveClient, public std::enable_shared_from_this<LiveSession> {
 public:
  LiveSession(asio::ip::tcp::socket socket, const UpgradeCall& call, std::shared_ptr<Hub> hub)
      : hub_{std::move(hub)},
        seat_{.address = call.address},
        session_{call.session},
        stream_{std::move(socket)} {
    call_.version(11);
    call_.method(http::verb::get);
    call_.target(call.target);
    for (const auto& [name, value] : call.headers) call_.insert(name, value);
    hub_->came(*this, seat_);
  }
  ~LiveSession() override {
    hub_->watches_no_more(*this);
    hub_->left(*this, seat_);
  }
  LiveSession(const LiveSession&) = delete;
  LiveSession& operator=(const LiveSession&) = delete;

  void start() {
    error_code ignored;
    socket().set_option(asio::socket_base::send_buffer_size{kSendQueue}, ignored);
    beast::get_lowest_layer(stream_).expires_never();
    const ServerLimits& limits = hub_->limits();
    // The library pings after half of the idle time.
    stream_.set_option(websocket::stream_base::timeout{.handshake_timeout = limits.handshake,
                                                       .idle_timeout = 2 * limits.ping,
                                                       .keep_alive_pings = true});
    // Without this the library names itself and its version.
    stream_.set_option(websocket::stream_base::decorator(
        [](websocket::response_type& response) { response.set(http::field::server, "panewalk"); }));
    stream_.read_message_max(limits.message_bytes);
    stream_.auto_fragment(false);
    stream_.text(true);
    stream_.control_callback([this](websocket::frame_type, beast::string_view) {
      if (!patience_.bears(io::now())) cut();
    });
    stream_.async_accept(call_, [self = shared_from_this()](error_code error) {
      if (error || !self->hub_->is_open()) return;
      self->hub_->watches(*self);
      self->read();
    });
  }

  void cut() override {
    error_code ignored;
    socket().close(ignored);
  }

  [[nodiscard]] const std::string& session() const override { return session_; }
  void offer(Message message) override { write(outbox_.offer(std::move(message))); }

 private:
  asio::ip::tcp::socket& socket() { return beast::get_lowest_layer(stream_).socket(); }

  void write(const Message& message) {
    if (message == nullptr) return;
    stream_.async_write(asio::buffer(*message), [self = shared_from_this(), message](
                                                    error_code error, std::size_t /*written*/) {
      if (error || !self->hub_->is_open()) return self->end();
      self->write(self->outbox_.sent());
    });
  }

  /// Nothing that comes is looked at; reading answers pings and notices the end.
  void read() {
    stream_.async_read_some(asio::buffer(scratch_), [self = shared_from_this()](
                                                        error_code error, std::size_t /*read*/) {
      if (error || !self->hub_->is_open()) return self->end();
      if (self->patience_.bears(io::now())) return self->read();
      self->end();
      self->stream_.async_close({websocket::close_code::policy_error, "too many messages"},
                                [self](error_code /*whatever came of it*/) {});
    });
  }

  void end() { hub_->watches_no_more(*this); }

  std::shared_ptr<Hub> hub_;
  Seat seat_;
  std::string session_;
  websocket::stream<beast::tcp_stream, false> stream_;
  http::request<http::empty_body> call_;
  Outbox outbox_;
  Patience patience_;
  std::array<char, 4096> scratch_{};
};

}  // namespace

void serve_live(asio::ip::tcp::socket socket, const UpgradeCall& call, std::shared_ptr<Hub> hub) {
  std::make_shared<LiveSession>(std::move(socket), call, std::move(hub))->start();
}

}  // namespace panewalk::web
