#pragma once

#include <cstdint>
#include <ctime>

#include "base/instant.hpp"
#include "base/result.hpp"
#include "io/handle.hpp"

namespace panewalk::io {

using base::Duration;
using base::Instant;

/// The machine's clock that is never set back.
Instant now();

/// Seconds since 1970-01-01T00:00:00Z by the machine's clock, which people may set.
std::int64_t utc_now();

/// For the system's calls; nothing below zero.
timespec to_timespec(Duration duration);

/// Sleeps until an instant, unless it is rung before. One thread sleeps, any thread rings.
class Alarm {
 public:
  static base::Result<Alarm> make();

  enum class Woken { kByTime, kByBell };
  /// A ring that came before the call counts; it is used up.
  Woken sleep_until(Instant deadline);
  /// Pays no heed to the bell.
  void sleep_through(Instant deadline);
  /// Never blocks; safe in a signal handler.
  void ring() const noexcept;

  /// Readable while a ring waits, for a poll of one's own.
  [[nodiscard]] int bell() const { return bell_.get(); }

 private:
  Alarm(Handle timer, Handle bell) : timer_{std::move(timer)}, bell_{std::move(bell)} {}
  bool wait(Instant deadline, bool listens);

  Handle timer_, bell_;
};

}  // namespace panewalk::io
