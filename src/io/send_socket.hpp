#pragma once

#include <cstdint>
#include <optional>

#include "base/instant.hpp"
#include "io/handle.hpp"
#include "io/socket_address.hpp"

namespace panewalk::io {

/// A socket that sends by one network card, or by the one that the system chooses.
class SendSocket {
 public:
  struct Kind {
    bool multicast = false;
    std::optional<Host> interface;
    bool operator==(const Kind&) const = default;
  };

  SendSocket(Kind kind, int multicast_ttl) : kind_{kind}, ttl_{multicast_ttl} {}
  /// 0, or the errno. Opened anew, it keeps its number; where that fails it stays as it was.
  int open();
  [[nodiscard]] int descriptor() const { return handle_.get(); }
  [[nodiscard]] const Kind& kind() const { return kind_; }

  /// What a router or the receiver answered to an earlier packet.
  struct Answer {
    sockaddr_in to{};
    int error = 0;
  };
  /// Takes one off the socket's queue of errors. Never blocks.
  [[nodiscard]] std::optional<Answer> next_answer() const;

 private:
  [[nodiscard]] int set_up(int socket) const;

  Kind kind_;
  int ttl_;
  Handle handle_;
};

}  // namespace panewalk::io
