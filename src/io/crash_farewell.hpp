#pragma once

#include <cstddef>
#include <vector>

#include "engine/engine.hpp"
#include "io/udp_sender.hpp"

namespace panewalk::io {

/// Whose packets go dark when the program crashes.
struct LastSpeaker {
  engine::Engine* engine = nullptr;
  const UdpSender* sender = nullptr;
};

/// A stack for signal handlers of the thread that makes it, for when its own is used up.
class SignalStack {
 public:
  SignalStack();
  SignalStack(const SignalStack&) = delete;
  SignalStack& operator=(const SignalStack&) = delete;
  /// On the same thread.
  ~SignalStack();

 private:
  std::vector<std::byte> memory_;
  void* before_ = nullptr;
  std::size_t before_size_ = 0;
  int before_flags_ = 0;
};

/// While it lives, SIGSEGV, SIGABRT (so std::terminate and our own checks too), SIGBUS, SIGFPE and
/// SIGILL send the farewell before they end the program as they did without it. At most one lives.
class CrashFarewell {
 public:
  CrashFarewell();
  CrashFarewell(const CrashFarewell&) = delete;
  CrashFarewell& operator=(const CrashFarewell&) = delete;
  ~CrashFarewell();

  /// The next three only by the thread that streams. `speaker` must live until another one, or
  /// none, is named.
  void speak_for(const LastSpeaker* speaker) noexcept;
  /// False when the program is going down: nothing may be sent any more.
  [[nodiscard]] bool begin_packets() noexcept;
  void end_packets() noexcept;
};

}  // namespace panewalk::io
