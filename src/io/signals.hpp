#pragma once

#include <optional>

#include "base/instant.hpp"

namespace panewalk::io {

/// SIGINT, SIGTERM, SIGHUP, SIGQUIT and the others that end a program, as something to wait for.
/// Make it before the first thread: threads inherit the mask that keeps the signals for this one
/// place. One at a time.
class Signals {
 public:
  Signals();
  ~Signals();
  Signals(const Signals&) = delete;
  Signals& operator=(const Signals&) = delete;

  enum class Woke { kTimeout, kSignal, kInput };
  /// Until a signal, a line on standard input (where `input` is set) or the time is up.
  [[nodiscard]] Woke wait(base::Duration timeout, bool input = false);
  /// The ends of line that standard input has at once; nothing where it is at its end or broken.
  /// Never waits for the rest of a line: that would keep us from hearing a signal.
  [[nodiscard]] static std::optional<int> lines_of_input();
  /// The signal that woke last; 0 before.
  [[nodiscard]] int last() const { return last_; }
  [[nodiscard]] int descriptor() const { return descriptor_; }

 private:
  int descriptor_ = -1;
  int last_ = 0;
};

}  // namespace panewalk::io
