#pragma once

#include <cstdint>
#include <random>
#include <vector>

#include "wiring/splice_problem.hpp"

namespace panewalk::wiring {

/// An order of the nodes, closed to a ring by one node more (`gate`) that stands for both ends of
/// the data. Steps count the work, so that the search ends after the same work on any machine.
class Tour {
 public:
  explicit Tour(const SpliceProblem& problem);

  /// Starts from the runs that join greedily, then the cheapest splices.
  void start();
  /// Improves by chains of exchanges (Lin and Kernighan 1973) until none helps.
  void improve();
  /// Changes a small place at random, improves, and goes back if that was for the worse.
  void kick(std::mt19937_64& random);

  [[nodiscard]] std::int64_t cost() const { return cost_; }
  [[nodiscard]] std::uint64_t steps() const { return steps_; }
  /// Of the nodes from the first pixel to the last.
  [[nodiscard]] std::vector<int> order() const;
  void set_order(const std::vector<int>& order);

 private:
  using Index = std::size_t;
  [[nodiscard]] std::int64_t link(Index a, Index b) const { return links_[a * count_ + b]; }
  [[nodiscard]] Index next(Index node) const;
  [[nodiscard]] Index before(Index node) const;
  /// Turns round the nodes from `from` on to `to`.
  void turn(Index from, Index to);
  void reverse_places(Index begin, Index length);
  void undo_to(std::size_t turns);
  bool improve_at(Index base);
  bool exchange(Index base, int depth, std::int64_t gain);
  void wake(Index node);
  void make_links();
  void make_near();
  void recount();

  struct Turn {
    Index begin, length;
    bool other_side;
  };

  const SpliceProblem& problem_;
  Index count_;  // nodes and the gate
  Index gate_;
  std::vector<std::int64_t> links_;
  std::int64_t held_ = 0;  // taken off the cost of a link that must stay
  std::vector<std::vector<Index>> near_;
  std::vector<Index> tour_, place_;
  bool reversed_ = false;
  std::vector<Turn> turns_;
  std::vector<Index> awake_;
  std::vector<bool> is_awake_;
  std::int64_t cost_ = 0;
  std::uint64_t steps_ = 0;
};

}  // namespace panewalk::wiring
