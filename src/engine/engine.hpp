#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "engine/look.hpp"
#include "engine/plan.hpp"
#include "engine/rows.hpp"
#include "light/canvas.hpp"
#include "light/flash_limiter.hpp"
#include "power/limits.hpp"
#include "power/load.hpp"

namespace panewalk::engine {

enum class Mode {
  kSilent,  ///< nothing is sent
  kLit,
  kDark,       ///< black, kept alive
  kReleasing,  ///< black, then terminated
};

enum class StepAsked { kNext, kBack, kHold, kOn };

/// The prop whose volts held the light back most.
struct LowVolts {
  std::size_t prop = 0;
  base::PixelIndex pixel;     ///< where they would be lowest
  base::Volts lowest, least;  ///< at that pixel by the light as asked; what it must keep
  double factor = 1;          ///< by which the volts had that prop's light dimmed
};

/// What a controller's supply allowed of the last frame. The light of a prop is dimmed by the
/// lesser of the two factors, its supply's and its own volts'.
struct SupplyStatus {
  base::Amps asked, most;  ///< most is 0 where the site names no supply
  double factor = 1;       ///< by which the amps had the light of all its props dimmed
  std::optional<LowVolts> low_volts = std::nullopt;  ///< none: no prop's volts held anything back
};

/// A snapshot for people, sized once by make_status(). Plain values; written by the stream thread
/// only.
struct Status {
  struct Lit {
    bool lit = false;
    std::size_t beat = 0;
    Duration into{};
    bool waits = false;
  };
  Mode mode = Mode::kSilent;
  std::uint64_t look = 0;  ///< counts the looks that were taken; 0 is none
  bool by_hand = false;
  Instant at{};
  std::uint64_t frames = 0, packets = 0;
  std::vector<Lit> props;              ///< by prop
  std::vector<SupplyStatus> supplies;  ///< by controller
  std::optional<light::Held> held;
  std::uint64_t frames_held = 0;
  light::Canvas sent;  ///< the pixels as passed for packing, before the order of the channels
  /// By prop: counts what was passed of it, so that report() need not write again what `sent` has.
  std::vector<std::uint64_t> sent_versions;
};

/// Turns time into packets. No clock, no I/O; after the constructor nothing here allocates, and
/// nothing blocks.
class Engine {
 public:
  Engine(std::shared_ptr<const Plan> plan, const Identity& identity);

  /// Takes the look and leaves the one before in its place, so that its memory is freed by the
  /// caller. Where nothing was sent the frames begin anew, the first one now.
  void light(std::shared_ptr<const Look>& look, Instant now);
  void dark();
  void release();
  void step(StepAsked asked, Instant now);

  /// The packets that are due at `now`, which never goes back. Valid until the next call.
  [[nodiscard]] std::span<const OutPacket> tick(Instant now);
  /// What is to follow all packets of the last tick, after the site's sync_delay.
  [[nodiscard]] std::span<const OutPacket> synchronization() const {
    return rows_.synchronization();
  }
  /// When the next frame of any controller is due.
  [[nodiscard]] Instant next_tick() const { return next_; }
  /// Starts the frame grid; call once before the first tick.
  void start(Instant now);
  /// Skips what was missed, keeping the phase. Returns the frames skipped.
  std::uint64_t catch_up(Instant now);

  /// Black, then three times terminated, for all that is being sent; `round` 0 … kFarewellRounds
  /// − 1. Safe in a signal handler.
  [[nodiscard]] std::span<const OutPacket> farewell(int round);
  static constexpr int kFarewellRounds = 4;

  [[nodiscard]] const std::vector<Destination>& destinations() const {
    return rows_.destinations();
  }
  [[nodiscard]] const Plan& plan() const { return *plan_; }
  /// What was passed for packing last: the pixels of each prop by index, then, as props of their
  /// own in the same order, the hidden chips of each (nulls and spares).
  [[nodiscard]] light::SafeFrame shown() const { return limiter_.last(); }
  /// Whether the flash limiter repeated the frame before.
  [[nodiscard]] bool holds() const { return limiter_.held().has_value(); }
  [[nodiscard]] Status make_status() const;
  /// `status` must come from make_status() of this engine.
  void report(Status& status) const;

 private:
  /// How one lit prop's program plays: on from a beat, or standing at it by hand.
  struct Playing {
    std::size_t beat = 0;
    Instant since{};  ///< when that beat began
    bool by_hand = false;
    std::optional<Duration> frozen;  ///< held: no time passes in the beat
  };
  /// What a canvas holds of a prop.
  struct Picture {
    enum class Of { kUnknown, kBlack, kBeat };
    Of of = Of::kUnknown;
    pattern::Beat beat = {};
  };
  struct Clock {
    Duration period{};
    Instant next{};
  };

  void find_next();
  [[nodiscard]] std::size_t hidden_of(std::size_t prop) const { return plan_->props.size() + prop; }
  [[nodiscard]] pattern::Beat beat_of(std::size_t lit, Instant now) const;
  void mark_due(Instant now);
  void paint(Instant now);
  void paint_prop(std::size_t prop, std::optional<std::size_t> lit, Instant now);
  void paint_black(std::size_t prop);
  void paint_beat(std::size_t prop, std::size_t lit, Instant now);
  void touch(std::size_t prop, const Touched& touched);
  void touch_all(std::size_t prop);
  [[nodiscard]] bool is_touched(std::size_t prop) const;
  void forget_pictures();
  void limit_level();
  void limit_supply(std::size_t controller);
  void judge(std::size_t prop);
  void dim(std::size_t prop, double factor);
  void pass_on();
  void go_dark(Instant now);
  [[nodiscard]] light::SafeFrame limit_flashes(Instant now);

  std::shared_ptr<const Plan> plan_;
  Rows rows_;
  std::vector<Clock> clocks_;  // by controller
  std::vector<bool> due_;      // by controller, at this tick
  /// By controller: its picture has been due and not passed yet. One that was held when a slow
  /// controller was due is asked for again at every tick, not only at that controller's next.
  std::vector<bool> pending_;
  Instant next_{};
  Mode mode_ = Mode::kSilent;
  std::shared_ptr<const Look> look_;
  std::uint64_t looks_ = 0;
  Instant look_since_{};
  std::vector<Playing> playing_;  // by lit of the look; room for every prop
  // Hidden chips follow all pixels as props of their own: so the flash limiter watches the mean of
  // what hangs in the frame as if they were not there, and theirs besides.
  light::Canvas wanted_;
  light::Canvas fade_from_;
  std::vector<Picture> pictures_, shown_pictures_;  // by prop
  // By stretch of the canvas: where wanted_ may differ from what is shown, and what is shown from
  // what was packed.
  std::vector<light::Extent> touched_, unpacked_;
  std::vector<std::uint64_t> versions_;  // by prop: counts what was passed of it
  light::FlashLimiter limiter_;
  std::vector<SupplyStatus> supplies_;
  std::vector<std::vector<std::size_t>> props_of_;  // by controller
  std::vector<power::VoltsGuard> guards_;           // by prop; only where the site names a supply
  // By prop, of what was painted: kept until it is painted over.
  std::vector<power::VoltsGuard::Verdict> verdicts_;
  std::vector<power::PropLoad> loads_;
  std::vector<power::PropLoad> asked_;  // scratch, room for every prop
  std::uint64_t frames_ = 0, packets_ = 0, frames_held_ = 0;
  Instant now_{};
};

}  // namespace panewalk::engine
