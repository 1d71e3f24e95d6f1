#pragma once

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "engine/engine.hpp"
#include "engine/look.hpp"
#include "engine/plan.hpp"
#include "io/practice_faults.hpp"
#include "io/stream_thread.hpp"

namespace panewalk::io {

/// A site that runs: the stream thread and, for practice, the receivers that stand for its props.
/// Everything here is called from the control thread. The destructor goes dark and terminates.
class Session {
 public:
  enum class To { kNetwork, kPractice };

  /// In practice every controller's packets go to a free loopback port, and nothing to the network;
  /// `faults` are what is wrong with the props of that yard.
  static base::Result<std::unique_ptr<Session>> start(std::shared_ptr<const engine::Plan> plan,
                                                      engine::Identity identity, To to,
                                                      std::vector<PracticeFault> faults = {});
  ~Session();
  /// Dark and terminated now; nothing can be lit after it.
  void stop() { stream_->stop(); }
  Session(const Session&) = delete;
  Session& operator=(const Session&) = delete;

  /// False where the stream has not taken the commands before this one yet; nothing is changed
  /// then.
  [[nodiscard]] bool light(engine::Look look);
  [[nodiscard]] bool dark();
  [[nodiscard]] bool release();
  [[nodiscard]] bool step(engine::StepAsked asked);
  /// A new site: the old one's universes go dark and are terminated, then what was lit is lit again
  /// where the new site still has it; the fault finder's pictures go dark. Faults in the yard stay
  /// as carried_over() says. On problems the old one goes on.
  base::Problems replace(std::shared_ptr<const engine::Plan> plan);

  /// Whether the stream's loop has come round since the last call.
  [[nodiscard]] bool has_moved() { return stream_->has_moved(); }
  /// Takes the newest state from the stream; the reference is good until the next call.
  const Live& live();
  /// The look that was asked last; nothing before the first.
  [[nodiscard]] std::shared_ptr<const engine::Look> look() const { return look_; }
  [[nodiscard]] const engine::Plan& plan() const { return *plan_; }
  [[nodiscard]] bool practising() const { return practice_ != nullptr; }
  /// What the prop shows in practice, by StationIndex; empty without practice.
  [[nodiscard]] std::vector<light::Colour> shown(std::size_t prop) const;

 private:
  struct Practice;
  Session() = default;
  base::Result<std::unique_ptr<engine::Engine>> make_engine(
      std::shared_ptr<const engine::Plan> plan, const std::vector<PracticeFault>& faults,
      std::unique_ptr<Practice>& practice) const;

  std::shared_ptr<const engine::Plan> plan_;
  std::optional<engine::Identity> identity_;  ///< set by start()
  To to_ = To::kNetwork;
  std::vector<PracticeFault> faults_;
  std::shared_ptr<const engine::Look> look_;
  engine::Mode asked_ = engine::Mode::kSilent;  ///< the stream's state may lag behind
  std::unique_ptr<Practice> practice_;
  std::unique_ptr<StreamThread> stream_;
};

}  // namespace panewalk::io
