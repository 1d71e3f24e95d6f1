#pragma once

#include <array>
#include <chrono>
#include <cstddef>
#include <cstdint>

#include "base/instant.hpp"

namespace panewalk::io {

/// How late frames began, counted by steps.
class Lateness {
 public:
  /// A frame counts at the first step that is not below its lateness; later ones count apart.
  static constexpr std::array<base::Duration, 10> kSteps{
      std::chrono::microseconds{50},  std::chrono::microseconds{100},
      std::chrono::microseconds{200}, std::chrono::microseconds{500},
      std::chrono::milliseconds{1},   std::chrono::milliseconds{2},
      std::chrono::milliseconds{5},   std::chrono::milliseconds{10},
      std::chrono::milliseconds{20},  std::chrono::milliseconds{50}};

  void add(base::Duration late) {
    std::size_t step = 0;
    while (step < kSteps.size() && late > kSteps[step]) ++step;
    ++frames_[step];
  }
  /// Frames at step `index` of kSteps; at kSteps.size() those that were later than all of them.
  [[nodiscard]] std::uint64_t frames(std::size_t index) const { return frames_[index]; }

 private:
  std::array<std::uint64_t, kSteps.size() + 1> frames_{};
};

}  // namespace panewalk::io
