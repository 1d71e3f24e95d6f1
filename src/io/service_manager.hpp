#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "base/instant.hpp"
#include "io/handle.hpp"

namespace panewalk::io {

/// What a service manager wants to know of a service, and how it is told: datagrams to the Unix
/// socket in $NOTIFY_SOCKET, as sd_notify(3) and sd_watchdog_enabled(3) of systemd describe them.
/// Spoken without libsystemd, which would bring five compression and cipher libraries into memory
/// for one datagram.
struct ServicePlaces {
  std::string notify_socket;     ///< $NOTIFY_SOCKET: a path, or "@name" without a file
  std::string watchdog_usec;     ///< $WATCHDOG_USEC: after so long without a sign it restarts us
  std::string watchdog_process;  ///< $WATCHDOG_PID: whose sign it waits for; empty: any

  static ServicePlaces from_environment();
};

/// The service manager that started this process, if one did. What can't be told is let go: the
/// lights go on without a manager. Never blocks.
class ServiceManager {
 public:
  explicit ServiceManager(const ServicePlaces& places);

  [[nodiscard]] bool listens() const { return socket_.is_open(); }
  /// Nothing where no sign of life is awaited from this process.
  [[nodiscard]] std::optional<base::Duration> watchdog() const { return watchdog_; }

  void is_ready(std::string_view status) const;
  void is_reloading() const;  ///< until is_ready()
  void is_stopping() const;
  void is_alive() const;
  /// What it does now, start or end, may take so long from now.
  void needs(base::Duration time) const;

 private:
  void tell(std::string_view lines) const;

  Handle socket_;
  std::optional<base::Duration> watchdog_;
};

}  // namespace panewalk::io
