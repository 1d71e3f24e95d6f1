#include "wiring/tour.hpp"

#include <algorithm>
#include <array>
#include <numeric>

namespace panewalk::wiring {
namespace {

constexpr std::size_t kNear = 12;           // nodes that a wire may go to in an exchange
constexpr int kDeepest = 12;                // exchanges in a chain
constexpr std::array kBreadth{6, 4, 2, 1};  // tried at each depth, the last from there on
constexpr std::size_t kLongestBlock = 40;   // nodes moved by a kick

}  // namespace

Tour::Tour(const SpliceProblem& problem)
    : problem_{problem}, count_{problem.size() + 1}, gate_{problem.size()} {
  make_links();
  make_near();
  tour_.resize(count_);
  place_.resize(count_);
  is_awake_.resize(count_);
  std::iota(tour_.begin(), tour_.end(), Index{0});
  std::iota(place_.begin(), place_.end(), Index{0});
}

void Tour::make_links() {
  links_.assign(count_ * count_, 0);
  held_ = 8 * (problem_.too_long + problem_.splice);
  for (Index a = 0; a < gate_; ++a) {
    for (Index b = 0; b < gate_; ++b) {
      if (a == b) continue;
      const bool mates = problem_.nodes[a].mate == static_cast<int>(b);
      links_[a * count_ + b] = mates ? -held_ : problem_.cost(a, b);
    }
  }
  for (const int end : {problem_.first, problem_.last}) {
    if (end == SpliceProblem::kNone) continue;
    links_[gate_ * count_ + static_cast<Index>(end)] = -held_;
    links_[static_cast<Index>(end) * count_ + gate_] = -held_;
  }
}

void Tour::make_near() {
  near_.resize(count_);
  for (Index a = 0; a < count_; ++a) {
    auto& near = near_[a];
    for (Index b = 0; b < count_; ++b) {
      if (a != b) near.push_back(b);
    }
    std::stable_sort(near.begin(), near.end(),
                     [this, a](Index x, Index y) { return link(a, x) < link(a, y); });
    if (a == gate_) continue;
    Index keep = 0;
    while (keep < near.size() && link(a, near[keep]) <= 0) ++keep;
    near.resize(std::min(near.size(), keep + kNear));
  }
}

void Tour::start() {
  struct Pair {
    std::int64_t cost;
    Index a, b;
  };
  std::vector<Pair> pairs;
  for (Index a = 0; a < count_; ++a) {
    for (Index b = 0; b < a; ++b) pairs.push_back({link(a, b), a, b});
  }
  // Where data can run, the nodes with the fewest ways first; the gate after all else.
  const auto scarce = [this](const Pair& pair) {
    if (pair.a == gate_) return count_ * 2;
    return problem_.nodes[pair.a].beside.size() + problem_.nodes[pair.b].beside.size();
  };
  std::stable_sort(pairs.begin(), pairs.end(), [&](const Pair& x, const Pair& y) {
    const bool late_x = x.a == gate_ && x.cost >= 0;
    const bool late_y = y.a == gate_ && y.cost >= 0;
    if (late_x != late_y) return late_y;
    if (x.cost != y.cost) return x.cost < y.cost;
    return x.cost == 0 && scarce(x) < scarce(y);
  });
  std::vector<std::vector<Index>> joined(count_);
  std::vector<Index> group(count_);
  std::iota(group.begin(), group.end(), Index{0});
  const auto root = [&group](Index node) {
    while (group[node] != node) node = group[node] = group[group[node]];
    return node;
  };
  Index links = 0;
  for (const Pair& pair : pairs) {
    if (joined[pair.a].size() == 2 || joined[pair.b].size() == 2) continue;
    const bool closes = root(pair.a) == root(pair.b);
    if (closes && links + 1 < count_) continue;
    group[root(pair.a)] = root(pair.b);
    joined[pair.a].push_back(pair.b);
    joined[pair.b].push_back(pair.a);
    if (++links == count_) break;
  }
  Index node = gate_;
  Index from = gate_;
  for (Index i = 0; i < count_; ++i) {
    tour_[i] = node;
    place_[node] = i;
    const Index on =
        i == 0 || joined[node].front() != from ? joined[node].front() : joined[node].back();
    from = node;
    node = on;
  }
  reversed_ = false;
  recount();
  for (Index i = 0; i < count_; ++i) wake(tour_[i]);
}

void Tour::set_order(const std::vector<int>& order) {
  tour_[0] = gate_;
  for (Index i = 0; i < order.size(); ++i) tour_[i + 1] = static_cast<Index>(order[i]);
  for (Index i = 0; i < count_; ++i) place_[tour_[i]] = i;
  reversed_ = false;
  recount();
}

void Tour::recount() {
  cost_ = 0;
  for (Index i = 0; i < count_; ++i) {
    const std::int64_t one = link(tour_[i], tour_[(i + 1) % count_]);
    cost_ += std::max<std::int64_t>(one, 0);
  }
}

std::vector<int> Tour::order() const {
  std::vector<int> order;
  for (Index node = next(gate_); node != gate_; node = next(node)) {
    order.push_back(static_cast<int>(node));
  }
  const bool wrong_way = problem_.first != SpliceProblem::kNone  ? order.front() != problem_.first
                         : problem_.last != SpliceProblem::kNone ? order.back() != problem_.last
                                                                 : order.front() > order.back();
  if (wrong_way) std::reverse(order.begin(), order.end());
  return order;
}

Tour::Index Tour::next(Index node) const {
  const Index at = place_[node];
  if (reversed_) return tour_[at == 0 ? count_ - 1 : at - 1];
  return tour_[at + 1 == count_ ? 0 : at + 1];
}

Tour::Index Tour::before(Index node) const {
  const Index at = place_[node];
  if (!reversed_) return tour_[at == 0 ? count_ - 1 : at - 1];
  return tour_[at + 1 == count_ ? 0 : at + 1];
}

void Tour::reverse_places(Index begin, Index length) {
  Index end = begin + length - 1;
  if (end >= count_) end -= count_;
  for (Index i = 0; i < length / 2; ++i) {
    std::swap(tour_[begin], tour_[end]);
    place_[tour_[begin]] = begin;
    place_[tour_[end]] = end;
    begin = begin + 1 == count_ ? 0 : begin + 1;
    end = end == 0 ? count_ - 1 : end - 1;
  }
  steps_ += 1 + length / 8;
}

void Tour::turn(Index from, Index to) {
  Index begin = place_[reversed_ ? to : from];
  const Index end = place_[reversed_ ? from : to];
  Index length = (end + count_ - begin) % count_ + 1;
  // The rest of the ring turned round is the same ring, looked at the other way.
  const bool other_side = length * 2 > count_;
  if (other_side) {
    begin = (end + 1) % count_;
    length = count_ - length;
    reversed_ = !reversed_;
  }
  reverse_places(begin, length);
  turns_.push_back({begin, length, other_side});
}

void Tour::undo_to(std::size_t turns) {
  while (turns_.size() > turns) {
    const Turn& last = turns_.back();
    reverse_places(last.begin, last.length);
    if (last.other_side) reversed_ = !reversed_;
    turns_.pop_back();
  }
}

void Tour::wake(Index node) {
  if (is_awake_[node]) return;
  is_awake_[node] = true;
  awake_.push_back(node);
}

/// The link from `base` to the node after it is to go; `gain` is what the links that went cost more
/// than those that came.
bool Tour::exchange(Index base, int depth, std::int64_t gain) {
  const Index loose = next(base);
  struct Choice {
    std::int64_t gain;
    Index to, freed;
  };
  std::vector<Choice> choices;
  for (const Index to : near_[loose]) {
    ++steps_;
    const std::int64_t left = gain - link(loose, to);
    if (left <= 0) break;
    const Index freed = before(to);
    if (to == base || freed == loose) continue;
    if (to == next(loose) || link(freed, to) < 0) continue;
    choices.push_back({left + link(freed, to), to, freed});
  }
  const auto breadth = static_cast<std::size_t>(
      kBreadth[std::min<std::size_t>(static_cast<std::size_t>(depth), kBreadth.size() - 1)]);
  const std::size_t kept = std::min(breadth, choices.size());
  std::partial_sort(choices.begin(), choices.begin() + static_cast<std::ptrdiff_t>(kept),
                    choices.end(), [](const Choice& x, const Choice& y) {
                      return x.gain != y.gain ? x.gain > y.gain : x.to < y.to;
                    });
  for (std::size_t i = 0; i < kept; ++i) {
    const Choice& choice = choices[i];
    const std::size_t turns = turns_.size();
    turn(loose, choice.freed);
    const std::int64_t closed = choice.gain - link(base, choice.freed);
    if (closed > 0) {
      cost_ -= closed;
    } else if (depth + 1 >= kDeepest || !exchange(base, depth + 1, choice.gain)) {
      undo_to(turns);
      continue;
    }
    for (const Index node : {loose, choice.to, choice.freed}) wake(node);
    return true;
  }
  return false;
}

bool Tour::improve_at(Index base) {
  for (int side = 0; side < 2; ++side) {
    const std::int64_t gain = link(base, next(base));
    if (gain > 0 && exchange(base, 0, gain)) {
      wake(base);
      return true;
    }
    reversed_ = !reversed_;
    turns_.push_back({0, 0, true});
  }
  return false;
}

void Tour::improve() {
  while (!awake_.empty()) {
    const Index node = awake_.back();
    awake_.pop_back();
    is_awake_[node] = false;
    while (improve_at(node)) {
    }
  }
}

void Tour::kick(std::mt19937_64& random) {
  if (count_ < 5) return;
  turns_.clear();
  const std::int64_t cost_before = cost_;
  const Index most = std::min(kLongestBlock, (count_ - 1) / 2);
  const auto pick = [&random](Index below) { return Index{random() % below}; };
  // Two blocks next to each other change places; links that must stay are stepped over.
  std::array<Index, 3> ends{};
  Index walked = 0;
  for (Index i = 0; i < 3; ++i) {
    const Index by = i == 0 ? pick(count_) : 1 + pick(most);
    ends[i] = i == 0 ? tour_[by] : ends[i - 1];
    for (Index left = i == 0 ? 0 : by; left > 0; --left) ends[i] = next(ends[i]);
    if (i > 0) walked += by;
    for (int tries = 0; tries < 2 && link(ends[i], next(ends[i])) < 0; ++tries) {
      ends[i] = next(ends[i]);
      if (i > 0) ++walked;
    }
  }
  const Index a = next(ends[0]), b = next(ends[1]), after = next(ends[2]);
  steps_ += walked;
  if (walked + 2 > count_) return;
  for (const Index end : ends) {
    if (link(end, next(end)) < 0) return;
  }
  cost_ += link(ends[0], b) + link(ends[2], a) + link(ends[1], after) - link(ends[0], a) -
           link(ends[1], b) - link(ends[2], after);
  const Index old_ends[3] = {ends[0], ends[1], ends[2]};
  turn(a, ends[1]);
  turn(b, ends[2]);
  turn(next(ends[0]), before(after));
  for (const Index node : old_ends) wake(node);
  for (const Index node : {a, b, after}) wake(node);
  improve();
  if (cost_ > cost_before) {
    undo_to(0);
    cost_ = cost_before;
  }
}

}  // namespace panewalk::wiring
