#include "wiring/splice_problem.hpp"

#include <algorithm>
#include <cmath>

namespace panewalk::wiring {
namespace {

using base::StationIndex;

/// Pixels of a bar that lie next to each other, without an empty place between.
struct Stretch {
  std::vector<StationIndex> stations;
  std::vector<double> gaps;  ///< before the first, between, after the last; mm
  bool reaches_start = false, reaches_end = false;  ///< a joint with a pixel comes next
};

std::vector<Stretch> stretches_of(const prop::Frame& frame, const prop::Bar& bar) {
  std::vector<Stretch> all;
  const auto gap_before = [&bar](std::size_t i) {
    const double reach = i < bar.inside.size() ? bar.reach[i].value() : bar.length.value();
    return i == 0 ? reach : reach - bar.reach[i - 1].value();
  };
  const auto carries = [&frame](base::JointIndex joint) {
    return frame[frame[joint].station].carries_pixel;
  };
  bool open = false;
  for (std::size_t i = 0; i < bar.inside.size(); ++i) {
    if (!frame[bar.inside[i]].carries_pixel) {
      open = false;
      continue;
    }
    if (!open) {
      all.push_back(
          {.stations = {}, .gaps = {gap_before(i)}, .reaches_start = i == 0 && carries(bar.from)});
    }
    open = true;
    all.back().stations.push_back(bar.inside[i]);
    all.back().gaps.push_back(gap_before(i + 1));
    all.back().reaches_end = i + 1 == bar.inside.size() && carries(bar.to);
  }
  return all;
}

class ProblemBuilder {
 public:
  ProblemBuilder(const prop::Frame& frame, const ProblemEnds& ends, std::size_t most_nodes)
      : frame_{frame},
        ends_{ends},
        most_nodes_{most_nodes},
        node_at_(frame.stations().size(), SpliceProblem::kNone) {
    // With a limit on each wire the cut may have to be anywhere.
    problem_.every_place = ends.longest.has_value() && frame.pixel_count() <= kMostEveryPlace;
  }

  std::optional<SpliceProblem> build() {
    for (const prop::Joint& joint : frame_.joints()) {
      if (frame_[joint.station].carries_pixel) add_node(joint.station);
    }
    for (const prop::Bar& bar : frame_.bars()) {
      for (const Stretch& stretch : stretches_of(frame_, bar)) lay(stretch);
      if (problem_.size() > most_nodes_) return std::nullopt;
    }
    link();
    set_costs();
    return std::move(problem_);
  }

 private:
  static constexpr std::size_t kMostEveryPlace = 250;

  int add_node(StationIndex station) {
    const int node = static_cast<int>(problem_.size());
    node_at_[station.value()] = node;
    problem_.nodes.push_back({.station = station});
    return node;
  }

  /// Cuts the stretch where the data may leave it; pieces of two stations or more get a node at
  /// each end.
  void lay(const Stretch& stretch) {
    const std::size_t count = stretch.stations.size();
    std::vector<bool> cut(count + 1, problem_.every_place);  // before the i-th
    cut.front() = true;
    cut.back() = true;
    if (!problem_.every_place) mark_cuts(stretch, cut);
    for (std::size_t begin = 0; begin < count;) {
      std::size_t end = begin + 1;
      while (!cut[end]) ++end;
      const int from = add_node(stretch.stations[begin]);
      if (end - begin > 1) {
        const int to = add_node(stretch.stations[end - 1]);
        const auto at = [&](std::size_t i) {
          return stretch.stations.begin() + static_cast<std::ptrdiff_t>(i);
        };
        std::vector<StationIndex> between(at(begin + 1), at(end - 1));
        node(from).mate = to;
        node(to).mate = from;
        node(from).between = between;
        std::reverse(between.begin(), between.end());
        node(to).between = std::move(between);
      }
      begin = end;
    }
  }

  void mark_cuts(const Stretch& stretch, std::vector<bool>& cut) const {
    const std::size_t count = stretch.stations.size();
    for (std::size_t i = 0; i < count; ++i) {
      if (stretch.stations[i] == ends_.first || stretch.stations[i] == ends_.last) {
        cut[i] = true;
        cut[i + 1] = true;
      }
    }
    const double eps = 1e-6;  // mm
    const double outer = std::max(stretch.gaps.front(), stretch.gaps.back());
    std::size_t widest = 0;
    for (std::size_t i = 1; i < count; ++i) {
      if (widest == 0 || stretch.gaps[i] > stretch.gaps[widest] + eps) widest = i;
    }
    const bool in_a_ring = stretch.reaches_start && stretch.reaches_end;
    const bool both_ends = ends_.first.has_value() && ends_.last.has_value();
    if (widest > 0 && ((in_a_ring && stretch.gaps[widest] > outer + eps) || both_ends)) {
      cut[widest] = true;
    }
    // With both ends given a stretch may have to be cut although it is in no ring.
    if (both_ends && count > 1) {
      if (!stretch.reaches_start) cut[1] = true;
      if (!stretch.reaches_end) cut[count - 1] = true;
    }
  }

  void link() {
    for (std::size_t i = 0; i < problem_.size(); ++i) {
      auto& here = problem_.nodes[i];
      for (const prop::Neighbour& next : frame_.neighbours(here.station)) {
        const int other = node_at_[next.station.value()];
        if (other == SpliceProblem::kNone || other == static_cast<int>(i)) continue;
        const bool whole_pair = other == here.mate && here.between.empty();
        const bool known =
            std::find(here.beside.begin(), here.beside.end(), other) != here.beside.end();
        if (!whole_pair && !known) here.beside.push_back(other);
      }
      if (here.station == ends_.first) problem_.first = static_cast<int>(i);
      if (here.station == ends_.last) problem_.last = static_cast<int>(i);
    }
  }

  void set_costs() {
    std::vector<StationIndex> stations;
    stations.reserve(problem_.size());
    for (const auto& node : problem_.nodes) stations.push_back(node.station);
    problem_.ways = ways_between(frame_, stations);
    Micrometres most = 0;
    for (const Micrometres way : problem_.ways) most = std::max(most, way);
    const auto count = static_cast<std::int64_t>(problem_.size());
    // The sum of all costs, and four times as much in the matching, must fit.
    const double all =
        std::pow(static_cast<double>(count), ends_.longest ? 4 : 3) * static_cast<double>(most);
    if (all < 1e18) {
      problem_.micrometre = count + 1;
      problem_.jump = 1;
    }
    const std::int64_t dearest = most * problem_.micrometre + problem_.jump;
    problem_.splice = count * dearest + 1;
    problem_.too_long = count * (problem_.splice + dearest) + 1;
    find_hops();
    if (ends_.longest) {
      constexpr double kRounding = 1e-3;  // mm: a limit equal to a way allows it
      problem_.longest =
          static_cast<Micrometres>(std::floor((ends_.longest->value() + kRounding) * 1000));
    }
  }

  void find_hops() {
    problem_.hops.assign(problem_.size() * problem_.size(), false);
    for (std::size_t i = 0; i < problem_.size(); ++i) {
      for (const prop::Neighbour& over : frame_.neighbours(problem_.nodes[i].station)) {
        const prop::Station& between = frame_[over.station];
        if (!between.joint && between.carries_pixel) continue;
        for (const prop::Neighbour& beyond : frame_.neighbours(over.station)) {
          const int other = node_at_[beyond.station.value()];
          if (other == SpliceProblem::kNone) continue;
          problem_.hops[i * problem_.size() + static_cast<std::size_t>(other)] = true;
        }
      }
    }
  }

  SpliceProblem::Node& node(int index) { return problem_.nodes[static_cast<std::size_t>(index)]; }

  const prop::Frame& frame_;
  const ProblemEnds& ends_;
  std::size_t most_nodes_;
  std::vector<int> node_at_;  // by station
  SpliceProblem problem_;
};

}  // namespace

bool SpliceProblem::are_beside(std::size_t a, std::size_t b) const {
  const auto& beside = nodes[a].beside;
  return std::find(beside.begin(), beside.end(), static_cast<int>(b)) != beside.end();
}

std::int64_t SpliceProblem::cost(std::size_t a, std::size_t b) const {
  if (nodes[a].mate == static_cast<int>(b) || are_beside(a, b)) return 0;
  const Micrometres wire = way(a, b);
  return splice + wire * micrometre + (hops[a * nodes.size() + b] ? 0 : jump) +
         (longest && wire > *longest ? too_long : 0);
}

std::optional<SpliceProblem> splice_problem(const prop::Frame& frame, const ProblemEnds& ends,
                                            std::size_t most_nodes) {
  return ProblemBuilder{frame, ends, most_nodes}.build();
}

}  // namespace panewalk::wiring
