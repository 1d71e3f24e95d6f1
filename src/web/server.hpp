#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/instant.hpp"
#include "base/result.hpp"
#include "check/progress.hpp"
#include "io/network_watch.hpp"
#include "io/session.hpp"
#include "logbook/logbook.hpp"
#include "site/correction.hpp"
#include "web/diary.hpp"
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
  /// Of these, from one address, where others reach the server.
  std::size_t clients_from_one = 16;
  /// Callers beyond that who are still told so; more are cut off.
  std::size_t turned_away = 8;
  base::Duration idle = std::chrono::seconds{30};      ///< HTTP; a request must be done in it
  base::Duration handshake = std::chrono::seconds{5};  ///< WebSocket
  base::Duration ping =
      std::chrono::seconds{10};  ///< without an answer for as long again, a WebSocket ends
  base::Duration between_messages = std::chrono::milliseconds{50};
};

struct ServerOptions {
  /// An address of this machine, or 0.0.0.0 or :: for all. Beyond loopback a join code is needed.
  std::string address = "127.0.0.1";
  std::uint16_t port = 0;               ///< 0: any that is free
  std::vector<std::string> notes = {};  ///< remarks of the load, for people
  logbook::Logbook* logbook = nullptr;  ///< outlives the server; null: nothing is recorded
  base::Problems no_logbook = {{.what = "no logbook is kept", .remedy = {}}};  ///< why it is null
  ServerLimits limits = {};
  /// What the session's plan was made from; null: the fault finder offers no correction of a file.
  std::shared_ptr<const site::Site> site = nullptr;
  /// Writes a correction and has the site read anew, site_was_read() included. Stale where the file
  /// has changed since. Empty: no file is written.
  std::function<std::optional<check::Refusal>(const site::Correction&)> accept = {};
  io::NetworkWatch* network_watch = nullptr;  ///< outlives the server; null: nobody listens
  /// Takes a line when something goes wrong and when it is over. Empty: nobody wants to know.
  std::function<void(const DiaryLine&)> log = {};
};

/// How people come in where a code is needed.
struct Invitation {
  std::string code;  ///< as it is printed, "ABCD-2345"
  std::string link;  ///< opens the page and joins: "http://192.0.2.7:8017/#/join/ABCD2345"
};

/// A server that listens.
struct Opened {
  Door door;
  std::string link;  ///< to open in a browser: "http://127.0.0.1:8017/"
  std::optional<Invitation> invitation = std::nullopt;
};

/// Serves the page, the API and the live state of a session. Everything here, and the io_context's
/// run(), is on the control thread; the session outlives the server or stop().
class Server {
 public:
  Server(boost::asio::io_context& context, io::Session& session, ServerOptions options);
  ~Server();
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;

  /// A port that is taken, or an address that is not this machine's, is a problem.
  base::Result<Opened> start();
  /// Closes everything at once. Nothing of the server is left in the io_context after its handlers
  /// ran out. The light stays as it is.
  void stop();

  /// Whether a WebSocket is open or a call came within the last half minute.
  [[nodiscard]] bool watched() const;
  /// After the session took another site, and before anything is asked.
  void site_was_read(std::shared_ptr<const site::Site> site, std::vector<std::string> notes);

 private:
  std::string address_;
  std::uint16_t port_;
  std::shared_ptr<Hub> hub_;
  std::shared_ptr<Listener> listener_;
};

}  // namespace panewalk::web
