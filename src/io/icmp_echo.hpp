#pragma once

#include <cstdint>
#include <optional>

#include "base/result.hpp"
#include "io/handle.hpp"
#include "io/socket_address.hpp"

namespace panewalk::io {

/// Asks machines whether they are there (ICMP Echo, RFC 792).
class IcmpEcho {
 public:
  /// By a socket that needs no right where the system lets this user have one
  /// (net.ipv4.ping_group_range), else by a raw one. The errno where it gives neither.
  static base::Result<IcmpEcho, int> open();

  /// 0 or the errno.
  [[nodiscard]] int ask(const Host& host, std::uint16_t number) const;

  struct Answer {
    Host from{};
    std::uint16_t number = 0;
  };
  /// One that has come, to one of our own questions. Never waits.
  [[nodiscard]] std::optional<Answer> answer() const;

  /// Has IP_RECVERR: an error that waits must be taken, or a poll never rests.
  [[nodiscard]] int descriptor() const { return handle_.get(); }

 private:
  IcmpEcho(Handle handle, bool raw, std::uint16_t identifier)
      : handle_{std::move(handle)}, raw_{raw}, identifier_{identifier} {}

  Handle handle_;
  bool raw_;
  std::uint16_t identifier_;  ///< on a raw socket, where everybody's answers arrive
};

}  // namespace panewalk::io
