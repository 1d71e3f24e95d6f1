#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <vector>

#include "wiring/splice_problem.hpp"

namespace panewalk::wiring {

/// The least cost of any order, from below. Each node has two links, as in an order, but the whole
/// may fall into several rings: the best such set of links is a matching (Edmonds; Tutte 1954).
/// Rings are then broken one after another, by branch and bound.
class SpliceBound {
 public:
  explicit SpliceBound(const SpliceProblem& problem);
  ~SpliceBound();
  SpliceBound(const SpliceBound&) = delete;
  SpliceBound& operator=(const SpliceBound&) = delete;

  /// No order costs less. Nothing can be said of more than `kMostNodes` nodes: 0.
  [[nodiscard]] std::int64_t bound() const;
  /// No order at all keeps within the longest wire.
  [[nodiscard]] bool is_impossible() const;
  /// Looks at one more branch, below the one with the least bound. `enough` is a cost that has been
  /// found: dearer branches are dropped. False where nothing is left to do.
  bool step(std::int64_t enough);
  /// An order cheaper than any that `step` was told of, from the first pixel to the last; empty
  /// where none has come up.
  [[nodiscard]] const std::vector<int>& found() const;
  [[nodiscard]] std::optional<std::int64_t> found_cost() const;
  [[nodiscard]] std::uint64_t steps() const;

 private:
  class Search;
  std::unique_ptr<Search> search_;
};

}  // namespace panewalk::wiring
