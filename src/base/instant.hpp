#pragma once

#include <chrono>

namespace panewalk::base {

using Duration = std::chrono::nanoseconds;

/// The clock of the stream: time since an arbitrary start, never set back. It has no now(): the
/// core is told the time, and only io/ reads the machine's clock.
struct StreamClock {
  using duration = Duration;
  using rep = duration::rep;
  using period = duration::period;
};

using Instant = std::chrono::time_point<StreamClock, Duration>;

}  // namespace panewalk::base
