#pragma once

#include <array>
#include <streambuf>

#include "io/handle.hpp"
#include "io/signals.hpp"

namespace panewalk::io {

/// Standard output for a program that must hear its signals: where a terminal or a pipe takes no
/// more (a held screen, a hung connection), it waits, drops what it could not say, and goes on.
class PatientOutput : public std::streambuf {
 public:
  enum class Waits {
    kALittle,
    kUntilSignal,  ///< for another program, to which half a line is worse than none
  };
  explicit PatientOutput(const Signals& signals, Waits waits = Waits::kALittle);

 protected:
  int_type overflow(int_type letter) override;
  int sync() override;

 private:
  /// False where the reader is gone.
  bool flush_out();

  const Signals& signals_;
  Waits waits_;
  Handle own_;  // a terminal or pipe opened anew, so that nobody else's writes stop blocking
  int descriptor_;
  std::array<char, 8192> buffer_{};
};

}  // namespace panewalk::io
