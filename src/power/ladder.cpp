#include "power/ladder.hpp"

#include <algorithm>

#include "base/check.hpp"

namespace panewalk::power {

double siemens(Ohms ohms) { return 1 / std::max(ohms, kLeastOhms).value(); }

Factored::Factored(const Ladder& ladder) {
  const std::size_t nodes = ladder.nodes();
  PANEWALK_CHECK(nodes > 0);
  diagonal_.resize(nodes);
  pivot_.resize(nodes);
  down_.resize(nodes);
  last_.resize(nodes);
  for (const Ohms link : ladder.links) link_.push_back(siemens(link));
  for (std::size_t i = 0; i < link_.size(); ++i) {
    diagonal_[i] += link_[i];
    diagonal_[i + 1] += link_[i];
  }
  for (const Ladder::Tap& tap : ladder.taps) diagonal_[tap.node] += siemens(tap.ohms);
  if (ladder.brace && nodes > 1) {
    brace_ = siemens(*ladder.brace);
    diagonal_.front() += brace_;
    diagonal_.back() += brace_;
  }
  PANEWALK_CHECK(refactor({}));
}

bool Factored::refactor(std::span<const double> less) {
  const std::size_t end = nodes() - 1;
  for (std::size_t i = 0; i <= end; ++i) pivot_[i] = diagonal_[i] - (less.empty() ? 0 : less[i]);
  // What couples the last node to the node that is eliminated, beyond its neighbour's link.
  double to_last = end > 0 ? -brace_ : 0;
  for (std::size_t i = 0; i < end; ++i) {
    if (!(pivot_[i] > 0)) return false;
    const bool neighbours = i + 1 == end;
    const double to_next = -link_[i] + (neighbours ? to_last : 0);
    down_[i] = to_next / pivot_[i];
    pivot_[i + 1] -= down_[i] * to_next;
    if (neighbours) break;
    last_[i] = to_last / pivot_[i];
    pivot_[end] -= last_[i] * to_last;
    to_last = -down_[i] * to_last;
  }
  return pivot_[end] > 0;
}

void Factored::solve(std::span<double> values) const {
  const std::size_t end = nodes() - 1;
  for (std::size_t i = 0; i < end; ++i) {
    values[i + 1] -= down_[i] * values[i];
    if (i + 1 < end) values[end] -= last_[i] * values[i];
  }
  for (std::size_t i = 0; i <= end; ++i) values[i] /= pivot_[i];
  for (std::size_t i = end; i-- > 0;) {
    values[i] -= down_[i] * values[i + 1];
    if (i + 1 < end) values[i] -= last_[i] * values[end];
  }
}

}  // namespace panewalk::power
