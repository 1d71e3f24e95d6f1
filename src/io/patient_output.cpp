#include "io/patient_output.hpp"

#include <fcntl.h>
#include <poll.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>

namespace panewalk::io {
namespace {

/// Long enough for a slow line, short enough for someone who waits for the dark.
constexpr int kPatienceMs = 500;

Handle open_anew() {
  struct stat facts {};
  if (fstat(STDOUT_FILENO, &facts) != 0) return Handle{};
  const bool can_stall = isatty(STDOUT_FILENO) == 1 || S_ISFIFO(facts.st_mode);
  if (!can_stall) return Handle{};
  return Handle{::open("/proc/self/fd/1", O_WRONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC)};
}

}  // namespace

PatientOutput::PatientOutput(const Signals& signals, Waits waits)
    : signals_{signals},
      waits_{waits},
      own_{open_anew()},
      descriptor_{own_.is_open() ? own_.get() : STDOUT_FILENO} {
  setp(buffer_.data(), buffer_.data() + buffer_.size());
}

PatientOutput::int_type PatientOutput::overflow(int_type letter) {
  if (!flush_out()) return traits_type::eof();
  if (!traits_type::eq_int_type(letter, traits_type::eof())) {
    *pptr() = traits_type::to_char_type(letter);
    pbump(1);
  }
  return traits_type::not_eof(letter);
}

int PatientOutput::sync() { return flush_out() ? 0 : -1; }

bool PatientOutput::flush_out() {
  const char* at = pbase();
  bool alive = true;
  while (at != pptr()) {
    const ssize_t written = ::write(descriptor_, at, static_cast<std::size_t>(pptr() - at));
    if (written >= 0) {
      at += written;
      continue;
    }
    if (errno == EINTR) continue;
    if (errno != EAGAIN) {
      alive = false;
      break;
    }
    std::array<pollfd, 2> watch{
        pollfd{.fd = descriptor_, .events = POLLOUT, .revents = 0},
        pollfd{.fd = signals_.descriptor(), .events = POLLIN, .revents = 0}};
    const int patience = waits_ == Waits::kALittle ? kPatienceMs : -1;
    const int ready = ::poll(watch.data(), watch.size(), patience);
    if (ready < 0 && errno == EINTR) continue;
    const bool signalled = watch[1].revents != 0;
    if (ready <= 0 || (signalled && watch[0].revents == 0)) break;  // what is left is dropped
  }
  setp(buffer_.data(), buffer_.data() + buffer_.size());
  return alive;
}

}  // namespace panewalk::io
