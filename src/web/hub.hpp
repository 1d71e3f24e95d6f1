#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>

#include "io/session.hpp"
#include "web/api.hpp"
#include "web/diary.hpp"
#include "web/join.hpp"
#include "web/outbox.hpp"
#include "web/records.hpp"
#include "web/searches.hpp"
#include "web/server.hpp"
#include "web/troubles.hpp"
#include "web/watch.hpp"

namespace panewalk::web {

/// Whether a connection has a seat, or is only told that there is none: for nobody, or for no more
/// from its address.
enum class Room { kYes, kNo, kNotForOne };

struct Seat {
  Room room = Room::kYes;
  std::string address;  ///< of the client
};

/// A connection that the server may have to end.
class Client {
 public:
  Client() = default;
  Client(const Client&) = delete;
  Client& operator=(const Client&) = delete;
  virtual ~Client() = default;
  /// Closes the socket. What waits on it ends with an error, later.
  virtual void cut() = 0;
};

/// A page that is told the state.
class LiveClient : public Client {
 public:
  /// The session it came with; "" where none is needed.
  [[nodiscard]] virtual const std::string& session() const = 0;
  virtual void offer(Message message) = 0;
};

/// What all connections of a server share: the session, who is here, and the newest message.
/// Lives as long as the last connection; after close() nobody asks it anything.
class Hub : public std::enable_shared_from_this<Hub> {
 public:
  Hub(boost::asio::io_context& context, io::Session& session, ServerOptions options);

  /// `join` where a code is needed.
  void open(Door door, std::optional<Join> join);
  void close();
  [[nodiscard]] bool is_open() const { return open_; }
  [[nodiscard]] const ServerLimits& limits() const { return options_.limits; }
  [[nodiscard]] bool watched() const;
  void site_was_read(std::shared_ptr<const site::Site> site, std::vector<std::string> notes);

  /// Nothing where the call may come in: it has the right names, and a session where one is needed.
  [[nodiscard]] std::optional<Response> turned_away(const Request& request);
  /// The session that the call has; "" where none is needed.
  [[nodiscard]] std::string session_of(const Request& request);
  /// Carries out what is asked. Only for calls that may come in.
  Response answer(const Request& request);

  /// For one more connection; nothing where not even that can be told to it.
  [[nodiscard]] std::optional<Room> room(const std::string& address) const;
  /// The system gave no socket for a caller, for this errno.
  void turned_away_by(int error) { no_callers_ = error; }
  void came(Client& client, const Seat& seat);
  void left(Client& client, const Seat& seat);
  /// The client gets the state at once, and then as it changes.
  void watches(LiveClient& client);
  void watches_no_more(LiveClient& client) { live_clients_.erase(&client); }

 private:
  [[nodiscard]] View view();
  [[nodiscard]] std::optional<Response> by_wrong_name(const Request& request);
  [[nodiscard]] Response join(const Request& request);
  /// False where the stream has too much to do.
  [[nodiscard]] bool carry_out(Command&& command);
  [[nodiscard]] Response record(Record&& record);
  [[nodiscard]] Response accept(const Accept& accept);
  void publish();
  void publish_later();
  void look_after_the_light();
  void write_diary(Instant now);
  void look_later();

  io::Session* session_;
  ServerOptions options_;
  Door door_;
  Instant names_read_{};
  std::optional<Join> join_;
  bool open_ = false;
  bool lit_asked_ = false;
  Records records_;
  Searches searches_;
  std::uint64_t site_read_ = 1;
  Watch watch_;
  Diary diary_;
  MissedFrames missed_;
  int no_callers_ = 0;  // errno; 0: none was turned away since the diary was written
  std::set<Client*> clients_;
  std::size_t seats_taken_ = 0;
  std::map<std::string, std::size_t> seats_of_;  // by address
  std::set<LiveClient*> live_clients_;
  boost::asio::steady_timer publish_timer_;
  boost::asio::steady_timer watch_timer_;
  std::string told_;  // the last message, without its counters
  Message message_;
  Instant told_at_{};
};

}  // namespace panewalk::web
