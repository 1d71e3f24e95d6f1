#include "wiring/splice_bound.hpp"

#include <algorithm>
#include <queue>

#include "wiring/link_model.hpp"
#include "wiring/matching.hpp"

namespace panewalk::wiring {
namespace {

constexpr std::size_t kMostNodes = 900;
/// The time of a matching for each link, in steps of Tour (measured: 4 to 7 µs against 60 ns).
constexpr std::uint64_t kStepsAnEdge = 100;

/// A node of the branching: links that may not be, and runs that must be.
struct Branch {
  std::int64_t bound = 0;
  std::uint64_t number = 0;  // the earlier first, among equals
  std::vector<Pair> barred = {}, kept = {};
  std::vector<Pair> ring = {};  // to be broken
};
struct Dearer {
  bool operator()(const Branch& x, const Branch& y) const {
    return x.bound != y.bound ? x.bound > y.bound : x.number > y.number;
  }
};

}  // namespace

class SpliceBound::Search {
 public:
  explicit Search(const SpliceProblem& problem)
      : problem_{problem}, gate_{static_cast<int>(problem.size())} {
    if (problem.size() > kMostNodes || problem.size() < 2) return;
    model_ = link_model(problem);
    Branch root;
    root.number = count_++;
    solve(root);
    bound_ = root.bound;
    if (impossible_at_last_) {
      impossible_ = true;
    } else if (!root.ring.empty()) {
      open_.push(std::move(root));
    } else {
      finished_ = true;
    }
  }

  [[nodiscard]] std::int64_t bound() const { return bound_; }
  [[nodiscard]] bool is_impossible() const { return impossible_; }
  [[nodiscard]] const std::vector<int>& found() const { return found_; }
  [[nodiscard]] std::optional<std::int64_t> found_cost() const {
    if (found_.empty()) return std::nullopt;
    return found_cost_;
  }
  [[nodiscard]] std::uint64_t steps() const { return steps_; }

  bool step(std::int64_t enough) {
    if (found_cost_ >= 0) enough = std::min(enough, found_cost_);
    if (model_.slots.empty() || impossible_ || finished_) return false;
    if (next_child_ == current_.ring.size()) {
      if (open_.empty() || open_.top().bound >= enough) {
        bound_ = std::max(bound_, enough);
        finished_ = true;
        return false;
      }
      current_ = open_.top();
      open_.pop();
      next_child_ = 0;
      bound_ = std::max(bound_, current_.bound);
    }
    add_child(enough);
    return true;
  }

 private:
  [[nodiscard]] bool is_run(const Pair& link) const {
    return link.b != gate_ &&
           problem_.are_beside(static_cast<std::size_t>(link.a), static_cast<std::size_t>(link.b));
  }

  /// The next branch of the current one: another link of its ring is barred, and the runs of the
  /// ring before that stay, so that no order is looked at twice.
  void add_child(std::int64_t enough) {
    const Pair link = current_.ring[next_child_++];
    Branch child{.bound = current_.bound, .number = count_++, .barred = current_.barred};
    child.kept = current_.kept;
    child.barred.push_back(link);
    solve(child);
    if (is_run(link)) current_.kept.push_back(link);
    if (!impossible_at_last_ && !child.ring.empty() && child.bound < enough) {
      open_.push(std::move(child));
    }
  }

  /// The cheapest set of links of a branch: its bound, and a ring of it that has to be broken. A
  /// link that came up twice gets helpers, from then on, so that it can't.
  void solve(Branch& branch) {
    do {
      doubled_ = false;
      match(branch);
    } while (doubled_);
  }

  void match(Branch& branch) {
    std::vector<Pair> barred = branch.barred;
    std::sort(barred.begin(), barred.end());
    std::vector<Pair> only(model_.slots.size(),
                           Pair{-1, -1});  // by slot: the run that must fill it
    for (const Pair& run : branch.kept) {
      for (const auto& [node, other] : {std::pair{run.a, run.b}, std::pair{run.b, run.a}}) {
        for (const int slot : model_.of_node[static_cast<std::size_t>(node)]) {
          if (model_.slots[static_cast<std::size_t>(slot)].only == other) {
            only[static_cast<std::size_t>(slot)] = run;
          }
        }
      }
    }
    std::vector<MatchEdge> edges;
    edges.reserve(model_.links.size());
    for (const LinkModel::Link& link : model_.links) {
      const bool is_barred =
          !link.helper && std::binary_search(barred.begin(), barred.end(), link.nodes);
      const bool is_kept_out = link.helper && std::find(branch.kept.begin(), branch.kept.end(),
                                                        link.nodes) != branch.kept.end();
      if (is_barred || is_kept_out || is_once(link.nodes) ||
          taken_for_another(link.a, link.nodes, only) ||
          taken_for_another(link.b, link.nodes, only)) {
        continue;
      }
      edges.push_back({link.a, link.b, link.cost});
    }
    const int slots = add_single_links(branch, edges);
    steps_ += edges.size() * kStepsAnEdge;
    const auto mate = cheapest_perfect_matching(slots, edges);
    impossible_at_last_ = mate.empty();
    if (impossible_at_last_) return;
    read(mate, branch);
  }

  [[nodiscard]] bool is_once(const Pair& link) const {
    return std::find(once_.begin(), once_.end(), link) != once_.end();
  }

  /// Helpers for the links that may be taken once: two each, after all others. How many nodes there
  /// are then.
  int add_single_links(const Branch& branch, std::vector<MatchEdge>& edges) const {
    int next = model_.all_slots;
    for (const Pair& link : once_) {
      const bool is_barred =
          std::find(branch.barred.begin(), branch.barred.end(), link) != branch.barred.end();
      if (!is_barred) {
        for (const int x : model_.of_node[static_cast<std::size_t>(link.a)]) {
          edges.push_back({x, next, cost_of(link)});
        }
        for (const int y : model_.of_node[static_cast<std::size_t>(link.b)]) {
          edges.push_back({y, next + 1, 0});
        }
      }
      edges.push_back({next, next + 1, 0});
      next += 2;
    }
    return next;
  }

  [[nodiscard]] std::int64_t cost_of(const Pair& link) const {
    if (link.b == gate_) return 0;
    return problem_.cost(static_cast<std::size_t>(link.a), static_cast<std::size_t>(link.b));
  }

  [[nodiscard]] bool taken_for_another(int slot, const Pair& nodes,
                                       const std::vector<Pair>& only) const {
    if (slot >= static_cast<int>(only.size())) return false;
    const Pair& run = only[static_cast<std::size_t>(slot)];
    return run.a >= 0 && run != nodes;
  }

  void read(const std::vector<int>& mate, Branch& branch) {
    std::vector<std::vector<int>> joined(problem_.size() + 1);
    std::int64_t cost = 0;
    for (const LinkModel::Link& link : model_.links) {
      if (link.helper || mate[static_cast<std::size_t>(link.a)] != link.b) continue;
      // A run over helpers has two links to them; either stands for it.
      const bool over_helpers = link.b >= static_cast<int>(model_.slots.size());
      if (over_helpers && model_.slots[static_cast<std::size_t>(link.a)].node != link.nodes.a)
        continue;
      joined[static_cast<std::size_t>(link.nodes.a)].push_back(link.nodes.b);
      joined[static_cast<std::size_t>(link.nodes.b)].push_back(link.nodes.a);
      cost += link.cost;
    }
    for (std::size_t i = 0; i < once_.size(); ++i) {
      const std::size_t helper = static_cast<std::size_t>(model_.all_slots) + 2 * i;
      if (mate[helper] == static_cast<int>(helper) + 1) continue;
      const Pair& link = once_[i];
      joined[static_cast<std::size_t>(link.a)].push_back(link.b);
      joined[static_cast<std::size_t>(link.b)].push_back(link.a);
      cost += cost_of(link);
    }
    for (int i = 0; i < gate_; ++i) {
      const int other = problem_.nodes[static_cast<std::size_t>(i)].mate;
      if (other != SpliceProblem::kNone) joined[static_cast<std::size_t>(i)].push_back(other);
    }
    branch.bound = std::max(branch.bound, cost);
    find_ring(joined, branch, cost);
  }

  void find_ring(const std::vector<std::vector<int>>& joined, Branch& branch, std::int64_t cost) {
    std::vector<bool> seen(joined.size());
    std::vector<int> ring;
    std::vector<Pair> best;
    bool one_ring = false;
    for (int start = gate_; start >= 0; --start) {
      if (seen[static_cast<std::size_t>(start)]) continue;
      ring.clear();
      int node = start, from = -1;
      while (!seen[static_cast<std::size_t>(node)]) {
        seen[static_cast<std::size_t>(node)] = true;
        ring.push_back(node);
        const auto& next = joined[static_cast<std::size_t>(node)];
        const int on = next[0] != from ? next[0] : next[1];
        from = node;
        node = on;
      }
      if (ring.size() == joined.size()) {
        one_ring = true;
        break;
      }
      const auto links = links_of(ring);
      if (is_double(ring, joined)) {
        once_.push_back(links[0]);
        doubled_ = true;
      }
      if (best.empty() || links.size() < best.size()) best = links;
    }
    if (one_ring) {
      if (found_cost_ < 0 || cost < found_cost_) {
        found_cost_ = cost;
        found_.assign(ring.begin() + 1, ring.end());  // it starts at the gate
        turn_round_if_needed();
      }
      return;
    }
    branch.ring = best;
  }

  /// One link, taken twice.
  [[nodiscard]] bool is_double(const std::vector<int>& ring,
                               const std::vector<std::vector<int>>& joined) const {
    if (ring.size() != 2) return false;
    const auto& links = joined[static_cast<std::size_t>(ring[0])];
    const bool mates =
        ring[0] != gate_ && problem_.nodes[static_cast<std::size_t>(ring[0])].mate == ring[1];
    return links[0] == links[1] && !mates;
  }

  void turn_round_if_needed() {
    const bool wrong = problem_.first != SpliceProblem::kNone  ? found_.front() != problem_.first
                       : problem_.last != SpliceProblem::kNone ? found_.back() != problem_.last
                                                               : found_.front() > found_.back();
    if (wrong) std::reverse(found_.begin(), found_.end());
  }

  /// Runs first: what is kept in the branches after them makes those smaller.
  [[nodiscard]] std::vector<Pair> links_of(const std::vector<int>& ring) const {
    std::vector<Pair> links;
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const int a = ring[i];
      const int b = ring[(i + 1) % ring.size()];
      if (a == b) continue;
      const bool mates = a != gate_ && problem_.nodes[static_cast<std::size_t>(a)].mate == b;
      const Pair link = pair_of(a, b);
      if (!mates && std::find(links.begin(), links.end(), link) == links.end()) {
        links.push_back(link);
      }
    }
    std::stable_partition(links.begin(), links.end(),
                          [this](const Pair& link) { return is_run(link); });
    return links;
  }

  const SpliceProblem& problem_;
  int gate_;
  LinkModel model_;
  std::vector<Pair> once_;  // links that the matchings so far took twice
  bool doubled_ = false;
  Branch current_;
  std::size_t next_child_ = 0;
  std::priority_queue<Branch, std::vector<Branch>, Dearer> open_;
  std::uint64_t count_ = 0;
  std::int64_t bound_ = 0;
  bool impossible_ = false, impossible_at_last_ = false, finished_ = false;
  std::vector<int> found_;
  std::int64_t found_cost_ = -1;
  std::uint64_t steps_ = 0;
};

SpliceBound::SpliceBound(const SpliceProblem& problem)
    : search_{std::make_unique<Search>(problem)} {}
SpliceBound::~SpliceBound() = default;
std::int64_t SpliceBound::bound() const { return search_->bound(); }
bool SpliceBound::is_impossible() const { return search_->is_impossible(); }
bool SpliceBound::step(std::int64_t enough) { return search_->step(enough); }
const std::vector<int>& SpliceBound::found() const { return search_->found(); }
std::optional<std::int64_t> SpliceBound::found_cost() const { return search_->found_cost(); }
std::uint64_t SpliceBound::steps() const { return search_->steps(); }

}  // namespace panewalk::wiring
