#include "io/crash_farewell.hpp"

#include <pthread.h>
#include <csignal>

#include <array>
#include <atomic>
#include <cerrno>
#include <ctime>

#include "base/check.hpp"

namespace panewalk::io {
namespace {

constexpr std::array kSignals{SIGSEGV, SIGABRT, SIGBUS, SIGFPE, SIGILL};
constexpr std::size_t kStackOctets = 64 << 10;
constexpr int kPatienceMilliseconds = 50;         // for a frame that is being sent
constexpr int kOthersPatienceMilliseconds = 200;  // for another thread's farewell

// A signal handler reaches nothing but what is global.
std::atomic<const LastSpeaker*> speaker{nullptr};
std::atomic<bool> going_down{false};
std::atomic<bool> sending{false};
std::atomic<pthread_t> streaming_thread{};
std::atomic<bool> installed{false};
std::array<struct sigaction, kSignals.size()> before{};
static_assert(std::atomic<const LastSpeaker*>::is_always_lock_free);
static_assert(std::atomic<bool>::is_always_lock_free);
static_assert(std::atomic<pthread_t>::is_always_lock_free);

void wait_a_millisecond() {
  const timespec wait{.tv_sec = 0, .tv_nsec = 1'000'000};
  ::nanosleep(&wait, nullptr);
}

void say_farewell(const LastSpeaker& last) {
  const bool ours = ::pthread_equal(::pthread_self(), streaming_thread) != 0;
  for (int i = 0; !ours && sending && i < kPatienceMilliseconds; ++i) wait_a_millisecond();
  for (int round = 0; round < engine::Engine::kFarewellRounds; ++round) {
    last.sender->send_last(last.engine->farewell(round));
    wait_a_millisecond();
  }
}

void on_crash(int signal) {
  const bool another_speaks = going_down.exchange(true);
  if (const LastSpeaker* last = speaker.exchange(nullptr); last != nullptr) {
    say_farewell(*last);
  } else if (another_speaks) {
    for (int i = 0; i < kOthersPatienceMilliseconds; ++i) wait_a_millisecond();
  }
  for (std::size_t i = 0; i < kSignals.size(); ++i) {
    if (kSignals[i] == signal) ::sigaction(signal, &before[i], nullptr);
  }
  sigset_t only;
  ::sigemptyset(&only);
  ::sigaddset(&only, signal);
  ::raise(signal);
  ::pthread_sigmask(SIG_UNBLOCK, &only, nullptr);
}

}  // namespace

SignalStack::SignalStack() : memory_(kStackOctets) {
  stack_t ours{};
  ours.ss_sp = memory_.data();
  ours.ss_size = memory_.size();
  stack_t old{};
  PANEWALK_CHECK(::sigaltstack(&ours, &old) == 0);
  before_ = old.ss_sp;
  before_size_ = old.ss_size;
  before_flags_ = old.ss_flags;
}

SignalStack::~SignalStack() {
  stack_t old{};
  old.ss_sp = before_;
  old.ss_size = before_size_;
  old.ss_flags = before_flags_;
  ::sigaltstack(&old, nullptr);
}

CrashFarewell::CrashFarewell() {
  PANEWALK_CHECK(!installed.exchange(true));
  struct sigaction action {};
  action.sa_handler = on_crash;
  action.sa_flags = SA_ONSTACK;
  ::sigemptyset(&action.sa_mask);
  for (std::size_t i = 0; i < kSignals.size(); ++i) {
    PANEWALK_CHECK(::sigaction(kSignals[i], &action, &before[i]) == 0);
  }
}

CrashFarewell::~CrashFarewell() {
  speaker = nullptr;
  for (std::size_t i = 0; i < kSignals.size(); ++i) ::sigaction(kSignals[i], &before[i], nullptr);
  installed = false;
}

void CrashFarewell::speak_for(const LastSpeaker* next) noexcept {
  streaming_thread = ::pthread_self();
  speaker = next;
}

bool CrashFarewell::begin_packets() noexcept {
  sending = true;
  if (!going_down) return true;
  sending = false;
  return false;
}

void CrashFarewell::end_packets() noexcept { sending = false; }

}  // namespace panewalk::io
