#include "io/signals.hpp"

#include <poll.h>
#include <signal.h>
#include <sys/signalfd.h>
#include <unistd.h>

#include <algorithm>
#include <array>

namespace panewalk::io {
namespace {

sigset_t watched() {
  sigset_t set;
  sigemptyset(&set);
  // All that would end us lit: the keys of a terminal (Ctrl-Z too: a stopped program can't look
  // after its lights), what a service manager sends, and the timers and user signals that end by
  // default.
  for (const int signal :
       {SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGTSTP, SIGXCPU, SIGALRM, SIGUSR1, SIGUSR2}) {
    sigaddset(&set, signal);
  }
  return set;
}

}  // namespace

Signals::Signals() {
  // A reader that goes away (head, a closed pager) must not kill us before the lights are dark.
  ::signal(SIGPIPE, SIG_IGN);
  // Nor may the shell stop us, lit, because we run in its background and look at the terminal.
  ::signal(SIGTTIN, SIG_IGN);
  ::signal(SIGTTOU, SIG_IGN);
  const sigset_t set = watched();
  pthread_sigmask(SIG_BLOCK, &set, nullptr);
  descriptor_ = signalfd(-1, &set, SFD_NONBLOCK | SFD_CLOEXEC);
}

// They stay blocked: a second Ctrl-C while the last packets go out must not end us by its default.
Signals::~Signals() {
  if (descriptor_ >= 0) close(descriptor_);
}

Signals::Woke Signals::wait(base::Duration timeout, bool input) {
  std::array<pollfd, 2> watch{pollfd{.fd = descriptor_, .events = POLLIN, .revents = 0},
                              pollfd{.fd = STDIN_FILENO, .events = POLLIN, .revents = 0}};
  const auto milliseconds = std::chrono::duration_cast<std::chrono::milliseconds>(timeout).count();
  const int ready = poll(watch.data(), input ? 2 : 1,
                         static_cast<int>(std::clamp<long long>(milliseconds, 0, 60'000)));
  if (ready <= 0) return Woke::kTimeout;
  if (watch[0].revents != 0) {
    signalfd_siginfo info{};
    if (read(descriptor_, &info, sizeof info) == static_cast<ssize_t>(sizeof info)) {
      last_ = static_cast<int>(info.ssi_signo);
      return Woke::kSignal;
    }
  }
  return watch[1].revents != 0 ? Woke::kInput : Woke::kTimeout;
}

std::optional<int> Signals::lines_of_input() {
  std::array<char, 256> text{};
  const ssize_t size = read(STDIN_FILENO, text.data(), text.size());
  if (size <= 0) return std::nullopt;
  return static_cast<int>(std::count(text.begin(), text.begin() + size, '\n'));
}

}  // namespace panewalk::io
