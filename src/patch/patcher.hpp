#pragma once

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "patch/patch.hpp"

namespace panewalk::patch {

/// Works through the controllers and props once; the only maker of a PropPatch.
class Patcher {
 public:
  Patcher(const std::vector<ControllerDescription>& controllers,
          const std::vector<PatchedProp>& props, const Network& network)
      : controllers_{controllers}, props_{props}, network_{network}, placed_(props.size()) {}

  base::Result<Patch> assign();

 private:
  /// A chain of one output: props in the order listed.
  struct Chain {
    std::size_t controller = 0;
    std::optional<int> output;
    std::vector<std::size_t> props;
  };

  void check_controllers();
  void place(std::size_t index);
  [[nodiscard]] std::optional<std::size_t> find_controller(std::size_t index);
  [[nodiscard]] bool check_universe(std::size_t index, const ControllerDescription& controller);
  [[nodiscard]] bool check_channel(std::size_t index, const ControllerDescription& controller);
  [[nodiscard]] bool check_end(std::size_t index, const ControllerDescription& controller,
                               std::int64_t chips);

  [[nodiscard]] std::vector<Chain> chains() const;
  void check_chains();
  [[nodiscard]] bool same_speed(const Chain& chain);
  void check_length(const Chain& chain);

  /// Calls visit(earlier, later, universe) for props that take the same universe number, on
  /// whatever controllers; the first one that they share.
  template <class Visit>
  void each_two_on_a_universe(Visit visit) const {
    for (std::size_t later = 0; later < props_.size(); ++later) {
      for (std::size_t earlier = 0; earlier < later; ++earlier) {
        if (!placed_[earlier] || !placed_[later]) continue;
        const PropPatch& a = *placed_[earlier];
        const PropPatch& b = *placed_[later];
        const int first = std::max(a.first_universe(), b.first_universe());
        if (first <= std::min(a.last_universe(), b.last_universe())) visit(earlier, later, first);
      }
    }
  }
  void check_shared_universes();
  void check_overlap(std::size_t earlier, std::size_t later);
  [[nodiscard]] std::optional<std::int64_t> first_free_universe(std::size_t controller) const;

  void check_streams();
  void check_sync_rates(std::size_t controller);
  void check_sync_delay(std::size_t controller);
  void check_sync_universe(std::size_t controller);
  void check_art_sync(std::size_t controller);
  void check_doubled_universes();

  const std::vector<ControllerDescription>& controllers_;
  const std::vector<PatchedProp>& props_;
  const Network& network_;
  std::vector<std::optional<PropPatch>> placed_;  // as props_; none: has a problem of its own
  std::vector<std::optional<std::size_t>> controller_of_ =
      std::vector<std::optional<std::size_t>>(props_.size());
  base::Problems problems_;
  Notes notes_;
};

}  // namespace panewalk::patch
