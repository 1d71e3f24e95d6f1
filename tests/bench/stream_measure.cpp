#include "bench/stream_measure.hpp"

#include <algorithm>
#include <cmath>
#include <ctime>
#include <thread>

namespace panewalk::bench {
namespace {

double read_clock(clockid_t clock) {
  timespec time{};
  ::clock_gettime(clock, &time);
  return static_cast<double>(time.tv_sec) * 1e6 + static_cast<double>(time.tv_nsec) / 1e3;
}

}  // namespace

Cost spent() { return {read_clock(CLOCK_THREAD_CPUTIME_ID), read_clock(CLOCK_MONOTONIC)}; }

double processor_of(pid_t thread) {
  // As pthread_getcpuclockid() makes it, which wants a handle that we are not given: the
  // scheduler's clock (2) of one thread (4).
  return read_clock(static_cast<clockid_t>(~static_cast<unsigned>(thread) << 3U | 6U));
}

double share_of(std::vector<double> values, double share) {
  std::sort(values.begin(), values.end());
  const double at = share * static_cast<double>(values.size() - 1);
  const auto below = static_cast<std::size_t>(at);
  const std::size_t above = std::min(below + 1, values.size() - 1);
  return std::lerp(values[below], values[above], at - static_cast<double>(below));
}

Spread spread_of(std::vector<double> values) {
  return {share_of(values, 0.25), share_of(values, 0.5), share_of(values, 0.75)};
}

Spread ratios_of(const std::vector<double>& ours, const std::vector<double>& floor) {
  std::vector<double> ratios;
  for (std::size_t i = 0; i < ours.size(); ++i) ratios.push_back(ours[i] / floor[i]);
  return spread_of(std::move(ratios));
}

void sleep_for(std::chrono::nanoseconds time) { std::this_thread::sleep_for(time); }

}  // namespace panewalk::bench
