#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "base/instant.hpp"
#include "light/canvas.hpp"
#include "light/extent.hpp"
#include "light/mean_light.hpp"

namespace panewalk::light {

using base::Duration;
using base::Instant;

/// The share of full light whose change and change back make a flash: WCAG 2.2, general flash,
/// "10% or more of the maximum relative luminance". That text exempts a pair whose darker state is
/// at 0.80 or above; we count it all the same, which is stricter.
inline constexpr double kFlashChange = 0.10;
/// WCAG 2.0 working definition of the red flash: change of (R − G − B) × 320 above 20, where
/// R / (R + G + B) is at least 0.8. A change of exactly 20 counts too, which is stricter.
inline constexpr double kRedChange = 20.0 / 320.0;
/// Leading edges closer than this are held: ITU-R BT.1702, "360 ms or more apart" (from memory).
inline constexpr Duration kLeastBetweenEdges = std::chrono::milliseconds{360};
/// The period in which WCAG 2.2 SC 2.3.1 allows three flashes, so six changes to and fro.
inline constexpr Duration kFlashPeriod = std::chrono::seconds{1};
inline constexpr std::size_t kMostChanges = 6;

class FlashLimiter;

/// Light that may be packed: only the flash limiter makes one. It shows the limiter's last frame
/// and must not be kept over the next call.
class SafeFrame {
 public:
  [[nodiscard]] std::span<const Colour> prop(std::size_t index) const {
    return canvas_->prop(index);
  }
  [[nodiscard]] std::size_t props() const { return canvas_->props(); }

 private:
  friend class FlashLimiter;
  explicit SafeFrame(const Canvas& canvas) : canvas_{&canvas} {}
  const Canvas* canvas_;
};

/// Why the last frame was held, for the status.
struct Held {
  enum class Reason { kFlash, kRedFlash };
  Reason reason = Reason::kFlash;
  std::optional<std::size_t> prop;  ///< none: all lit props together
  Instant since;                    ///< when this hold began
  bool operator==(const Held&) const = default;
};

/// Stands after every pattern and has no switch. It passes a frame or repeats the one before, so
/// that for each prop, and for all lit props together, rises of the mean light by a flash's worth
/// are at least 360 ms apart, and so are falls. Holding the whole frame rather than one prop keeps
/// what the level limiter has already checked true.
///
/// A frame that stays the same passes at the latest 360 ms after it was first asked for; where
/// dark() was called in the second before, at the latest after 640 ms, since the falls that dark()
/// makes at once count towards the three flashes of a second.
///
/// The mean is what counts: light that changes places inside a prop, or between props, is a flash
/// of that prop or of none.
class FlashLimiter {
 public:
  FlashLimiter() = default;
  /// Pixels of each prop; starts out dark.
  explicit FlashLimiter(std::span<const std::size_t> pixels);

  /// `wanted` has the shape given to the constructor, with white only where a pixel has a white
  /// chip; `now` never goes back. Does not allocate.
  [[nodiscard]] SafeFrame pass(const Canvas& wanted, Instant now);
  /// The same where it is known what may have changed: outside of `touched[i]` prop i is as in the
  /// last frame that passed. What is shown is what was measured, whatever is claimed here: a prop
  /// that is touched as a whole leaves in `wanted` what was shown of it before, of others the
  /// stretch is copied.
  [[nodiscard]] SafeFrame pass(Canvas& wanted, std::span<const Extent> touched, Instant now);
  /// Darkness is never held. Does not allocate.
  SafeFrame dark(Instant now);
  /// The frame passed last.
  [[nodiscard]] SafeFrame last() const { return SafeFrame{shown_}; }
  /// Whether dark() was the last to be shown, or nothing yet.
  [[nodiscard]] bool is_dark() const { return dark_; }
  /// Nothing while frames pass.
  [[nodiscard]] const std::optional<Held>& held() const { return held_; }

 private:
  /// A signal of one frame, in whole units so that no rounding hides an edge.
  struct Sample {
    std::int64_t sum = 0;    ///< over the pixels
    std::int64_t worth = 0;  ///< how much of a change is a flash's worth for this frame
  };
  enum class Turn { kNone, kRise, kFall };
  /// Follows one signal by its turning points. From frame i to frame j it rises by a flash's worth
  /// if sum_j − sum_i is at least worth_i and at least worth_j; falls likewise. All lit props
  /// together have a worth that changes with what is lit: it is taken from the pixels of the
  /// props lit in one of the two frames, whichever has more, never from both added up, which would
  /// ask for a larger change. A rise is found when both bounds are met by frames since the last
  /// fall, not needfully by one frame: this may find too much, never too little.
  class Edges {
   public:
    [[nodiscard]] Turn turn(Sample sample) const;
    [[nodiscard]] bool allows(Turn turn, Instant now) const;
    void take(Sample sample, Instant now);

   private:
    // Since the last turn: extremes of the sum, and of the sum with its frame's worth.
    std::int64_t lowest_ = 0, lowest_with_worth_ = 0;
    std::int64_t highest_ = 0, highest_less_worth_ = 0;
    bool rising_ = false;
    std::optional<Instant> last_rise_, last_fall_;
    std::array<std::optional<Instant>, kMostChanges - 1> turns_;  // the oldest first
  };
  struct Watched {
    Edges light, red;
  };

  struct Samples {
    Sample light, red;
  };
  [[nodiscard]] static Samples samples(const Sums& sums, std::int64_t pixels);
  [[nodiscard]] Samples samples_of(std::size_t prop) const;
  [[nodiscard]] Samples samples_together() const;
  void measure(const Canvas& wanted, std::span<const Extent> touched);
  [[nodiscard]] bool is_refused(Instant now);
  void take_all(Instant now);
  [[nodiscard]] std::optional<Held> objection(Instant now) const;

  Canvas shown_;
  std::vector<Sums> sums_;  // of what is shown, by prop
  std::vector<Watched> props_;
  Watched together_;
  std::vector<Sums> measured_;  // of the frame at hand, by prop
  std::vector<Extent> all_;     // every prop as a whole
  bool dark_ = true;            // what is shown
  std::optional<Held> held_;
};

}  // namespace panewalk::light
