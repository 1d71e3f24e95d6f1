#pragma once

#include <sys/types.h>

#include <atomic>
#include <string>
#include <thread>
#include <vector>

#include "base/instant.hpp"

/// Threads beside the stream: the control, and what keeps cores busy.
namespace panewalk::bench {

/// The newest thread of this process by that name; ends the program where there is none.
pid_t thread_named(const std::string& name);

struct Policy {
  int policy = 0;  ///< SCHED_OTHER, SCHED_IDLE, SCHED_FIFO
  int priority = 0;
};
/// Of the calling thread. False where the system refuses.
bool take(Policy policy);

/// A loop around a timerfd with absolute deadlines that does nothing else.
class BareTimer {
 public:
  BareTimer(base::Duration period, Policy policy);
  ~BareTimer();
  BareTimer(const BareTimer&) = delete;
  BareTimer& operator=(const BareTimer&) = delete;

  [[nodiscard]] pid_t thread() const { return id_; }
  /// Microseconds behind its deadline, by wake-up; ends the loop.
  std::vector<double> stop();

 private:
  void run(base::Duration period, Policy policy);

  std::atomic<bool> ends_{false};
  std::atomic<pid_t> id_{0};
  std::vector<double> late_;
  std::thread thread_;
};

/// Spins on every core.
class Spinners {
 public:
  explicit Spinners(Policy policy);
  ~Spinners();
  Spinners(const Spinners&) = delete;
  Spinners& operator=(const Spinners&) = delete;

 private:
  std::atomic<bool> ends_{false};
  std::vector<std::thread> threads_;
};

}  // namespace panewalk::bench
