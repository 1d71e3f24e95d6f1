#pragma once

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "io/handle.hpp"

/// A client of the server, made of nothing but a socket, so that it shares no code with it.
namespace panewalk::test {

/// Every wait ends after this.
inline constexpr std::chrono::seconds kPatience{10};

class TcpClient {
 public:
  explicit TcpClient(std::uint16_t port, int receive_buffer = 0)
      : socket_{::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)} {
    if (receive_buffer > 0) {
      ::setsockopt(socket_.get(), SOL_SOCKET, SO_RCVBUF, &receive_buffer, sizeof receive_buffer);
    }
    sockaddr_in to{};
    to.sin_family = AF_INET;
    to.sin_port = htons(port);
    to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    connected_ = ::connect(socket_.get(), reinterpret_cast<sockaddr*>(&to), sizeof to) == 0;
  }

  [[nodiscard]] bool connected() const { return connected_; }
  /// What the other end no longer takes is lost without a word.
  void send(std::string_view bytes) {
    while (!bytes.empty()) {
      const ssize_t sent = ::send(socket_.get(), bytes.data(), bytes.size(), MSG_NOSIGNAL);
      if (sent <= 0) return;
      bytes.remove_prefix(static_cast<std::size_t>(sent));
    }
  }
  /// Until so many octets are here; fewer when the connection ends or the patience does.
  std::string read(std::size_t size) {
    while (heard_.size() < size && read_some()) {
    }
    return take(size);
  }
  /// Through the words; all there is where they never come.
  std::string read_through(std::string_view words) {
    std::size_t at = heard_.find(words);
    while (at == std::string::npos && read_some()) at = heard_.find(words);
    return take(at == std::string::npos ? heard_.size() : at + words.size());
  }
  std::string read_to_the_end() {
    while (read_some()) {
    }
    return take(heard_.size());
  }
  /// One answer, by its Content-Length.
  std::string read_answer() {
    std::string answer = read_through("\r\n\r\n");
    constexpr std::string_view kLength = "Content-Length: ";
    const std::size_t at = answer.find(kLength);
    if (at == std::string::npos) return answer;
    return answer + read(std::stoul(answer.substr(at + kLength.size())));
  }
  /// Whether the connection has ended, once everything before is read.
  [[nodiscard]] bool ended() {
    while (read_some()) {
    }
    return ended_;
  }

 private:
  std::string take(std::size_t size) {
    std::string taken = heard_.substr(0, size);
    heard_.erase(0, size);
    return taken;
  }
  bool read_some() {
    pollfd watched{.fd = socket_.get(), .events = POLLIN, .revents = 0};
    const auto most = std::chrono::milliseconds{kPatience}.count();
    if (ended_ || ::poll(&watched, 1, static_cast<int>(most)) <= 0) return false;
    char bytes[4096];
    const ssize_t got = ::recv(socket_.get(), bytes, sizeof bytes, 0);
    ended_ = got <= 0;
    if (!ended_) heard_.append(bytes, static_cast<std::size_t>(got));
    return !ended_;
  }

  io::Handle socket_;
  bool connected_ = false, ended_ = false;
  std::string heard_;
};

/// RFC 6455 section 5.2. A server's frames have no mask.
struct Frame {
  int opcode = 0;
  std::string payload;
};
inline constexpr int kText = 1, kClose = 8, kPing = 9, kPong = 10;

class WebSocketClient {
 public:
  WebSocketClient(std::uint16_t port, const std::string& more_headers = "", int receive_buffer = 0)
      : tcp_{port, receive_buffer} {
    // The key and its answer are the example of RFC 6455 section 1.3.
    tcp_.send("GET /api/live HTTP/1.1\r\nHost: 127.0.0.1:" + std::to_string(port) +
              "\r\nUpgrade: websocket\r\nConnection: keep-alive, Upgrade\r\n"
              "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n" +
              more_headers + "\r\n");
    handshake_ = tcp_.read_through("\r\n\r\n");
  }

  [[nodiscard]] const std::string& handshake() const { return handshake_; }
  std::optional<Frame> next() {
    const std::string head = tcp_.read(2);
    if (head.size() < 2) return std::nullopt;
    std::size_t size = byte(head[1]) & 0x7fU;
    if (size >= 126) {
      const std::string longer = tcp_.read(size == 126 ? 2 : 8);
      size = 0;
      for (const char each : longer) size = size << 8U | byte(each);
    }
    Frame frame{.opcode = static_cast<int>(byte(head[0]) & 0x0fU), .payload = tcp_.read(size)};
    if (frame.payload.size() != size) return std::nullopt;
    return frame;
  }
  /// The next text that has these words; "" where none comes.
  std::string text_with(std::string_view words) {
    const auto end = std::chrono::steady_clock::now() + kPatience;
    while (std::chrono::steady_clock::now() < end) {
      const auto frame = next();
      if (!frame) return "";
      if (frame->opcode == kText && frame->payload.find(words) != std::string::npos) {
        return frame->payload;
      }
    }
    return "";
  }
  /// The code of the close frame, RFC 6455 section 7.4; 0 where the connection ends without one.
  int close_code() {
    while (const auto frame = next()) {
      if (frame->opcode != kClose || frame->payload.size() < 2) continue;
      send(kClose, frame->payload);
      return static_cast<int>(byte(frame->payload[0]) << 8U | byte(frame->payload[1]));
    }
    return 0;
  }
  /// Masked with zeros, which leaves the payload as it is.
  void send(int opcode, std::string_view payload) {
    std::string frame(1, static_cast<char>(0x80 | opcode));
    if (payload.size() < 126) {
      frame += static_cast<char>(0x80U | payload.size());
    } else {
      frame += static_cast<char>(0x80U | 126U);
      frame += static_cast<char>(payload.size() >> 8U);
      frame += static_cast<char>(payload.size() & 0xffU);
    }
    tcp_.send(frame + std::string(4, '\0') + std::string{payload});
  }
  TcpClient& tcp() { return tcp_; }

 private:
  static unsigned byte(char letter) { return static_cast<unsigned char>(letter); }

  TcpClient tcp_;
  std::string handshake_;
};

}  // namespace panewalk::test
