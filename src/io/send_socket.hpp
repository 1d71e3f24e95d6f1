#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <utility>

#include "base/instant.hpp"
#include "io/handle.hpp"
#include "io/socket_address.hpp"
#include "patch/description.hpp"

namespace panewalk::io {

/// A socket that sends by one network card, or by the one that the system chooses. A card that is
/// named is looked up at each open(), so that it may come back under another number.
class SendSocket {
 public:
  struct Kind {
    bool multicast = false;
    bool broadcast = false;
    std::optional<std::string> interface;  ///< its name or its address
    bool operator==(const Kind&) const = default;
  };

  SendSocket(Kind kind, const patch::Network& network)
      : kind_{std::move(kind)}, network_{network} {}
  /// 0, or the errno; ENODEV or EADDRNOTAVAIL where there is no such card. Opened anew, it keeps
  /// its number; where that fails it stays as it was. Never allocates.
  int open();
  /// Whether the card's name is another card's now, which no error tells. Never allocates.
  [[nodiscard]] bool is_outdated() const;
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
  int set_up(int socket);
  int choose_card(int socket);

  Kind kind_;
  patch::Network network_;
  int card_ = 0;  ///< number of the card that is named; 0 without one
  Handle handle_;
};

}  // namespace panewalk::io
