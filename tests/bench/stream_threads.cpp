#include "bench/stream_threads.hpp"

#include <sched.h>
#include <sys/timerfd.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "io/clock.hpp"
#include "io/handle.hpp"

namespace panewalk::bench {

pid_t thread_named(const std::string& name) {
  // It names itself once it runs.
  for (int attempt = 0; attempt < 1000; ++attempt) {
    pid_t found = 0;
    for (const auto& task : std::filesystem::directory_iterator{"/proc/self/task"}) {
      std::string read;
      std::getline(std::ifstream{task.path() / "comm"}, read);
      if (read == name) found = std::max(found, std::stoi(task.path().filename().string()));
    }
    if (found != 0) return found;
    std::this_thread::sleep_for(std::chrono::milliseconds{1});
  }
  std::fprintf(stderr, "stream_benchmark: no thread is called %s\n", name.c_str());
  std::exit(1);
}

bool take(Policy policy) {
  const sched_param parameter{.sched_priority = policy.priority};
  return ::sched_setscheduler(0, policy.policy, &parameter) == 0;
}

BareTimer::BareTimer(base::Duration period, Policy policy)
    : thread_{[this, period, policy] { run(period, policy); }} {
  while (id_ == 0) std::this_thread::yield();
}

BareTimer::~BareTimer() { stop(); }

std::vector<double> BareTimer::stop() {
  ends_ = true;
  if (thread_.joinable()) thread_.join();
  return late_;
}

void BareTimer::run(base::Duration period, Policy policy) {
  constexpr std::size_t kRoom = 100'000;
  late_.reserve(kRoom);
  const io::Handle timer{::timerfd_create(CLOCK_MONOTONIC, TFD_CLOEXEC)};
  take(policy);
  id_ = ::gettid();
  base::Instant due = io::now() + period;
  while (!ends_) {
    const itimerspec spec{.it_interval = {}, .it_value = io::to_timespec(due.time_since_epoch())};
    ::timerfd_settime(timer.get(), TFD_TIMER_ABSTIME, &spec, nullptr);
    std::uint64_t times = 0;
    if (::read(timer.get(), &times, sizeof times) < 0) continue;
    const base::Instant at = io::now();
    if (late_.size() < kRoom) {
      late_.push_back(std::chrono::duration<double, std::micro>(at - due).count());
    }
    while (due <= at) due += period;
  }
}

Spinners::Spinners(Policy policy) {
  for (unsigned core = 0; core < std::thread::hardware_concurrency(); ++core) {
    threads_.emplace_back([this, core, policy] {
      cpu_set_t here;
      CPU_ZERO(&here);
      CPU_SET(core, &here);
      ::sched_setaffinity(0, sizeof here, &here);
      take(policy);
      while (!ends_.load(std::memory_order_relaxed)) {
      }
    });
  }
}

Spinners::~Spinners() {
  ends_ = true;
  for (std::thread& thread : threads_) thread.join();
}

}  // namespace panewalk::bench
