#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "base/instant.hpp"
#include "base/result.hpp"
#include "io/session.hpp"
#include "web/gate.hpp"

namespace boost::asio {
class io_context;
}

namespace panewalk::web {

class Hub;
class Listener;

/// Bounds on what clients may cost.
struct ServerLimits {
  std::uint32_t header_bytes = 8U << 10U;
  std::size_t message_bytes = 16UL << 10U;  ///< of a client's WebSocket message
  std::size_t clients = 32;
  /// Callers beyond that who are still told so; more are cut off.
  std::size_t turned_away = 8;
  base::Duration idle = std::chrono::seconds{30};      ///< HTTP; a request must be done in it
  base::Duration handshake = std::chrono::seconds{5};  ///< WebSocket
  base::Duration ping =
      std::chrono::seconds{10};  ///< without an answer for as long again, a WebSocket ends
  base::Duration between_messages = std::chrono::milliseconds{50};
};

struct ServerOptions {
  std::string address = "127.0.0.1";    ///< a loopback address
  std::uint16_t port = 0;               ///< 0: any that is free
  std::vector<std::string> notes = {};  ///< remarks of the load, for people
  ServerLimits limits = {};
};

/// Serves the API and the live state of a session. Everything here, and the io_context's run(), is
/// on the control thread; the session outlives the server or stop().
class Server {
 public:
  Server(boost::asio::io_context& context, io::Session& session, ServerOptions options);
  ~Server();
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;

  /// A port that is taken, or an address that is not loopback, is a problem.
  base::Result<Door> start();
  /// Closes everything at once. Nothing of the server is left in the io_context after its handlers
  /// ran out. The light stays as it is.
  void stop();

  /// Whether a WebSocket is open or a call came within the last half minute.
  [[nodiscard]] bool watched() const;
  /// After the session took another site.
  void set_notes(std::vector<std::string> notes);

 private:
  std::string address_;
  std::uint16_t port_;
  std::shared_ptr<Hub> hub_;
  std::shared_ptr<Listener> listener_;
};

}  // namespace panewalk::web
