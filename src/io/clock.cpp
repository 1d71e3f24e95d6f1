#include "io/clock.hpp"

#include <poll.h>
#include <sys/eventfd.h>
#include <sys/timerfd.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>

#include "base/check.hpp"
#include "io/error_words.hpp"

namespace panewalk::io {
timespec to_timespec(Duration duration) {
  const auto whole = std::max(duration, Duration{0});
  const auto seconds = std::chrono::floor<std::chrono::seconds>(whole);
  timespec time{};
  time.tv_sec = seconds.count();
  time.tv_nsec = (whole - seconds).count();
  return time;
}

Instant now() {
  timespec time{};
  PANEWALK_CHECK(::clock_gettime(CLOCK_MONOTONIC, &time) == 0);
  return Instant{std::chrono::seconds{time.tv_sec} + std::chrono::nanoseconds{time.tv_nsec}};
}

std::int64_t utc_now() {
  const auto now = std::chrono::system_clock::now().time_since_epoch();
  return std::chrono::duration_cast<std::chrono::seconds>(now).count();
}

base::Result<Alarm> Alarm::make() {
  Handle timer{::timerfd_create(CLOCK_MONOTONIC, TFD_CLOEXEC | TFD_NONBLOCK)};
  Handle bell{::eventfd(0, EFD_CLOEXEC | EFD_NONBLOCK)};
  if (timer.is_open() && bell.is_open()) return Alarm{std::move(timer), std::move(bell)};
  return base::Problems{{.what = "no timer: " + system_text(errno)}};
}

void Alarm::ring() const noexcept {
  const int before = errno;
  const std::uint64_t one = 1;
  // It fails only when the counter is full, and then it rings already.
  [[maybe_unused]] const auto written = ::write(bell_.get(), &one, sizeof one);
  errno = before;
}

Alarm::Woken Alarm::sleep_until(Instant deadline) {
  if (!wait(deadline, true)) return Woken::kByTime;
  std::uint64_t rings = 0;
  [[maybe_unused]] const auto taken = ::read(bell_.get(), &rings, sizeof rings);
  return Woken::kByBell;
}

void Alarm::sleep_through(Instant deadline) { wait(deadline, false); }

bool Alarm::wait(Instant deadline, bool listens) {
  // A timerfd takes zero for "disarm", so the past is one nanosecond.
  const Duration since = std::max(deadline.time_since_epoch(), Duration{1});
  const itimerspec when{.it_interval = {}, .it_value = to_timespec(since)};
  PANEWALK_CHECK(::timerfd_settime(timer_.get(), TFD_TIMER_ABSTIME, &when, nullptr) == 0);
  std::array<pollfd, 2> watched{{{.fd = timer_.get(), .events = POLLIN, .revents = 0},
                                 {.fd = bell_.get(), .events = POLLIN, .revents = 0}}};
  while (::poll(watched.data(), listens ? 2 : 1, -1) < 0) PANEWALK_CHECK(errno == EINTR);
  return watched[1].revents != 0;
}

}  // namespace panewalk::io
