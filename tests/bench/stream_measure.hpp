#pragma once

#include <sys/types.h>

#include <chrono>
#include <cstddef>
#include <vector>

/// Times of this thread, and what many of them come to. Microseconds everywhere.
namespace panewalk::bench {

struct Cost {
  double processor = 0, wall = 0;
};

/// Of the calling thread so far.
Cost spent();
/// Processor time of a thread of this process so far.
double processor_of(pid_t thread);

template <class Work>
Cost cost_of(Work&& work) {
  const Cost before = spent();
  work();
  const Cost after = spent();
  return {after.processor - before.processor, after.wall - before.wall};
}

struct Spread {
  double low = 0, median = 0, high = 0;  ///< the quartiles
};
/// At least one value.
Spread spread_of(std::vector<double> values);
/// Of the ratios block by block, so that a machine that grows slower meanwhile does not count.
Spread ratios_of(const std::vector<double>& ours, const std::vector<double>& floor);
/// The value below which `share` of them lie; at least one.
double share_of(std::vector<double> values, double share);

void sleep_for(std::chrono::nanoseconds time);

}  // namespace panewalk::bench
