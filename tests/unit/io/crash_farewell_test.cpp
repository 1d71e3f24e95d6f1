#include "io/crash_farewell.hpp"

#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstdio>
#include <exception>
#include <functional>
#include <stdexcept>
#include <thread>

#include "base/check.hpp"
#include "io/stream_thread.hpp"
#include "stream_plan.hpp"

namespace panewalk::io {
namespace {

using test::Heard;
using test::Listener;

struct Crash {
  int signal = 0;  ///< that ended the child
  std::vector<Heard> heard;
  /// "L" lit, "B" black, "T" terminated.
  [[nodiscard]] std::string told() const {
    std::string letters;
    for (const Heard& packet : heard) letters += test::letter_of(packet);
    return letters;
  }
};

/// Starts a stream in a child, lights it and lets it crash.
Crash crash(const std::function<void()>& crashes, int universes = 1) {
  Listener listener;
  const auto plan = test::plan_of({.universes = universes}, listener.port());
  const auto look = test::look_of(*plan, "all-white");
  const pid_t child = ::fork();
  if (child == 0) {
    // A sanitizer has handlers of its own.
    for (const int signal : {SIGSEGV, SIGABRT, SIGBUS, SIGFPE, SIGILL})
      std::signal(signal, SIG_DFL);
    const rlimit no_core{};
    ::setrlimit(RLIMIT_CORE, &no_core);
    if (std::freopen("/dev/null", "w", stderr) == nullptr) ::_exit(1);
    auto started = StreamThread::start(test::engine_of(plan), {.ask_for_realtime = false});
    if (!started || !started.value()->light(look)) ::_exit(1);
    // Until full white is told, so it was sent.
    while (started.value()->live().status.sent.prop(0)[0].red != 255) std::this_thread::yield();
    crashes();
    ::_exit(2);
  }
  Crash result;
  int status = 0;
  for (pid_t ended = 0; ended == 0;) {
    while (const auto packet = listener.next(std::chrono::milliseconds{20})) {
      result.heard.push_back(*packet);
    }
    ended = ::waitpid(child, &status, WNOHANG);
    EXPECT_GE(ended, 0);
  }
  while (const auto packet = listener.next(std::chrono::milliseconds{20})) {
    result.heard.push_back(*packet);
  }
  EXPECT_TRUE(WIFSIGNALED(status)) << status;
  result.signal = WIFSIGNALED(status) ? WTERMSIG(status) : 0;
  return result;
}

void expect_farewell(const std::function<void()>& crashes, int signal) {
  const Crash result = crash(crashes);
  EXPECT_EQ(result.signal, signal);
  EXPECT_TRUE(result.told().ends_with("LBTTT")) << result.told();
}

TEST(CrashFarewell, IsSaidOnAbort) {
  expect_farewell([] { std::abort(); }, SIGABRT);
}

TEST(CrashFarewell, IsSaidWhenOneOfOurChecksFails) {
  expect_farewell([] { PANEWALK_CHECK(1 == 2); }, SIGABRT);
}

TEST(CrashFarewell, IsSaidOnAnExceptionThatNobodyCatches) {
  expect_farewell([] { std::thread{[] { throw std::runtime_error{"x"}; }}.join(); }, SIGABRT);
}

TEST(CrashFarewell, IsSaidOnEveryFatalSignal) {
  for (const int signal : {SIGSEGV, SIGBUS, SIGFPE, SIGILL}) {
    expect_farewell([signal] { std::raise(signal); }, signal);
  }
}

TEST(CrashFarewell, IsSaidWhenTheStreamItselfCrashes) {
  expect_farewell(
      [] {
        // With it blocked here, the stream's thread gets it.
        sigset_t only;
        ::sigemptyset(&only);
        ::sigaddset(&only, SIGBUS);
        ::pthread_sigmask(SIG_BLOCK, &only, nullptr);
        ::kill(::getpid(), SIGBUS);
        while (true) ::pause();
      },
      SIGBUS);
}

TEST(CrashFarewell, IsSaidForEveryUniverse) {
  const Crash result = crash([] { std::abort(); }, 70);
  EXPECT_EQ(result.signal, SIGABRT);
  std::vector<int> terminated(71);
  for (const Heard& packet : result.heard) {
    if (packet.terminated) ++terminated[static_cast<std::size_t>(packet.universe)];
  }
  for (std::size_t i = 1; i <= 70; ++i) EXPECT_EQ(terminated[i], 3) << i;
}

TEST(CrashFarewell, PutsBackTheHandlersThatWereThere) {
  struct sigaction before {};
  struct sigaction after {};
  ::sigaction(SIGSEGV, nullptr, &before);
  {
    const CrashFarewell farewell;
    ::sigaction(SIGSEGV, nullptr, &after);
    EXPECT_NE(after.sa_handler, before.sa_handler);
  }
  ::sigaction(SIGSEGV, nullptr, &after);
  EXPECT_EQ(after.sa_handler, before.sa_handler);
}

#if !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
// A sanitizer takes the fault for itself, or forbids it.
int overflow(int depth) {
  volatile char room[4096] = {};
  room[0] = static_cast<char>(depth);
  return depth == 0 ? 0 : overflow(depth + 1) + room[0];
}

TEST(CrashFarewell, IsSaidWhenTheStackIsUsedUp) {
  expect_farewell(
      [] {
        const SignalStack stack;
        std::exit(overflow(1));
      },
      SIGSEGV);
}
#endif

}  // namespace
}  // namespace panewalk::io
