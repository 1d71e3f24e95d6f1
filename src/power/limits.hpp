#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "light/colour.hpp"
#include "power/solution.hpp"

namespace panewalk::power {

/// A prop on a supply.
struct Consumer {
  const Network* network = nullptr;
  const PixelPower* pixel = nullptr;
};

struct LevelLimit {
  enum class Why {
    kNothing,  ///< full white is inside
    kAmps,     ///< more would ask too much of the supply
    kVolts,    ///< more would bring a pixel of the prop below its least volts
    kBlack,    ///< even black is too much
  };
  light::Level level;
  Why why = Why::kNothing;
};

/// The highest level at which all that hangs on the supply may be white together: their amps within
/// `supply` (none: not known), and every pixel of consumer `of` at its least volts or above. By
/// bisection, to 2^-40 of full.
LevelLimit level_limit(std::span<const Consumer> on_supply, std::size_t of, Volts source,
                       std::optional<Amps> supply);

/// Keeps the volts of one prop up, frame by frame. For the stream: nothing here allocates after the
/// constructor, and a frame costs one pass down and one up the chain.
class VoltsGuard {
 public:
  VoltsGuard() = default;  ///< holds nothing back
  /// `network` must have pixels; `channels` is 3 or 4.
  VoltsGuard(const Network& network, const PixelPower& pixel, Volts source, std::size_t channels);

  struct Verdict {
    double factor = 1;      ///< by which the light must be scaled
    Volts lowest;           ///< of the frame as asked
    std::size_t pixel = 0;  ///< where, from 0
    /// What the current at nominal volts grows by, at most, once scaled; 1 for constant current.
    double stretch = 1;
  };
  /// Exact for constant current: drops are linear in it. Constant power is taken as the current
  /// that it would be at the least volts, which is never too little as long as those are kept.
  [[nodiscard]] Verdict judge(std::span<const light::Colour> pixels);

  [[nodiscard]] Volts least() const { return least_; }

 private:
  Factored factored_;
  Volts source_, volts_, least_;
  bool constant_power_ = false;
  std::size_t channels_ = 3;
  double added_ = 0;               // A of a pixel by full light
  std::vector<double> idle_drop_;  // V, by pixel
  std::vector<double> lit_drop_;   // scratch
};

}  // namespace panewalk::power
