#include "wiring/greedy_order.hpp"

#include <algorithm>
#include <limits>
#include <numeric>
#include <queue>

namespace panewalk::wiring {
namespace {

using base::StationIndex;

class GreedyOrder {
 public:
  GreedyOrder(const prop::Frame& frame, const RouteWishes& wishes)
      : frame_{frame},
        wishes_{wishes},
        joined_(frame.stations().size()),
        group_(frame.stations().size()),
        visited_(frame.stations().size()) {
    std::iota(group_.begin(), group_.end(), 0U);
  }

  std::vector<StationIndex> find() {
    join();
    StationIndex at = wishes_.first ? *wishes_.first : first_end();
    follow(at);
    while (order_.size() < frame_.pixel_count()) follow(nearest_end(order_.back()));
    return std::move(order_);
  }

 private:
  struct Link {
    std::size_t scarce;  ///< how many ways its two stations have together
    std::uint32_t a, b;
    auto operator<=>(const Link&) const = default;
  };

  void join() {
    std::vector<Link> links;
    for (std::uint32_t a = 0; a < group_.size(); ++a) {
      for (const prop::Neighbour& next : frame_.neighbours(StationIndex::of(a))) {
        const std::uint32_t b = next.station.value();
        if (a >= b || !carries(a) || !carries(b)) continue;
        links.push_back({ways(a) + ways(b), a, b});
      }
    }
    std::sort(links.begin(), links.end());
    for (const Link& link : links) {
      if (joined_[link.a].size() >= most(link.a) || joined_[link.b].size() >= most(link.b)) {
        continue;
      }
      const std::uint32_t one = root(link.a);
      const std::uint32_t other = root(link.b);
      if (one == other || joins_the_ends(one, other)) continue;
      group_[one] = other;
      joined_[link.a].push_back(link.b);
      joined_[link.b].push_back(link.a);
    }
  }

  [[nodiscard]] bool carries(std::uint32_t i) const { return frame_.stations()[i].carries_pixel; }
  [[nodiscard]] std::size_t ways(std::uint32_t i) const {
    return frame_.neighbours(StationIndex::of(i)).size();
  }
  [[nodiscard]] std::size_t most(std::uint32_t i) const {
    const StationIndex station = StationIndex::of(i);
    return station == wishes_.first || station == wishes_.last ? 1 : 2;
  }
  std::uint32_t root(std::uint32_t i) {
    while (group_[i] != i) i = group_[i] = group_[group_[i]];
    return i;
  }
  /// One stretch from the first to the last would leave the others out.
  bool joins_the_ends(std::uint32_t one, std::uint32_t other) {
    if (!wishes_.first || !wishes_.last) return false;
    const std::uint32_t first = root(wishes_.first->value());
    const std::uint32_t last = root(wishes_.last->value());
    return (one == first && other == last) || (one == last && other == first);
  }

  [[nodiscard]] StationIndex first_end() const {
    for (std::uint32_t i = 0; i < joined_.size(); ++i) {
      if (carries(i) && is_open_end(i)) return StationIndex::of(i);
    }
    return StationIndex::of(0);
  }

  [[nodiscard]] bool is_open_end(std::uint32_t i) const {
    if (visited_[i] || joined_[i].size() > 1 || !carries(i)) return false;
    return StationIndex::of(i) != wishes_.last || order_.size() + 1 == frame_.pixel_count();
  }

  /// Along the stretch that begins here.
  void follow(StationIndex end) {
    for (std::uint32_t i = end.value();;) {
      visited_[i] = true;
      order_.push_back(StationIndex::of(i));
      const auto next = std::find_if(joined_[i].begin(), joined_[i].end(),
                                     [this](std::uint32_t n) { return !visited_[n]; });
      if (next == joined_[i].end()) return;
      i = *next;
    }
  }

  /// Along the bars (Dijkstra 1959), else across the gap.
  [[nodiscard]] StationIndex nearest_end(StationIndex from) const {
    std::vector<double> reach(joined_.size(), std::numeric_limits<double>::infinity());
    using Step = std::pair<double, std::uint32_t>;
    std::priority_queue<Step, std::vector<Step>, std::greater<>> open;
    reach[from.value()] = 0;
    open.emplace(0, from.value());
    while (!open.empty()) {
      const auto [so_far, here] = open.top();
      open.pop();
      if (so_far > reach[here]) continue;
      if (is_open_end(here)) return StationIndex::of(here);
      for (const prop::Neighbour& next : frame_.neighbours(StationIndex::of(here))) {
        const double along = so_far + next.along.value();
        if (along >= reach[next.station.value()]) continue;
        reach[next.station.value()] = along;
        open.emplace(along, next.station.value());
      }
    }
    std::optional<std::uint32_t> best;
    const auto gap = [&](std::uint32_t i) {
      return base::distance(frame_[from].at, frame_.stations()[i].at);
    };
    for (std::uint32_t i = 0; i < joined_.size(); ++i) {
      if (is_open_end(i) && (!best || gap(i) < gap(*best))) best = i;
    }
    // Only the stretch that ends in the last is left: into it at its other end.
    if (!best) {
      for (std::uint32_t i = 0; i < joined_.size(); ++i) {
        if (carries(i) && !visited_[i] && joined_[i].size() < 2) best = i;
        if (best && StationIndex::of(*best) != wishes_.last) break;
      }
    }
    return StationIndex::of(*best);
  }

  const prop::Frame& frame_;
  const RouteWishes& wishes_;
  std::vector<std::vector<std::uint32_t>> joined_;
  std::vector<std::uint32_t> group_;
  std::vector<bool> visited_;
  std::vector<StationIndex> order_;
};

}  // namespace

std::vector<StationIndex> greedy_order(const prop::Frame& frame, const RouteWishes& wishes) {
  return GreedyOrder{frame, wishes}.find();
}

}  // namespace panewalk::wiring
