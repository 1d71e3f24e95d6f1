#include "wiring/way_table.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <queue>

namespace panewalk::wiring {
namespace {

using base::StationIndex;

constexpr double kUnreached = std::numeric_limits<double>::infinity();
constexpr std::size_t kNoPart = std::numeric_limits<std::size_t>::max();

std::vector<double> reach_from(const prop::Frame& frame, StationIndex start) {
  std::vector<double> reach(frame.stations().size(), kUnreached);
  using Step = std::pair<double, std::uint32_t>;
  std::priority_queue<Step, std::vector<Step>, std::greater<>> open;
  reach[start.value()] = 0;
  open.emplace(0, start.value());
  while (!open.empty()) {
    const auto [so_far, station] = open.top();
    open.pop();
    if (so_far > reach[station]) continue;
    for (const prop::Neighbour& next : frame.neighbours(StationIndex::of(station))) {
      const double along = so_far + next.along.value();
      if (along < reach[next.station.value()]) {
        reach[next.station.value()] = along;
        open.emplace(along, next.station.value());
      }
    }
  }
  return reach;
}

/// Where the wire leaves one part of the frame for another that no bar joins to it.
struct Gate {
  std::uint32_t near = 0, far = 0;  ///< joints
  double gap = 0;                   ///< millimetres
};

/// Parts that bars hold together, and the closest joints between any two.
class Parts {
 public:
  explicit Parts(const prop::Frame& frame) : part_of_(frame.stations().size(), kNoPart) {
    for (std::size_t start = 0; start < part_of_.size(); ++start) {
      if (part_of_[start] == kNoPart) spread(frame, start, count_++);
    }
    if (count_ > 1) find_gates(frame);
  }

  [[nodiscard]] std::size_t of(StationIndex station) const { return part_of_[station.value()]; }
  [[nodiscard]] const std::vector<Gate>& gates(std::size_t from, std::size_t to) const {
    return gates_.at({from, to});
  }
  [[nodiscard]] bool one() const { return count_ == 1; }

 private:
  void spread(const prop::Frame& frame, std::size_t start, std::size_t part) {
    std::vector<StationIndex> open{StationIndex::of(start)};
    part_of_[start] = part;
    while (!open.empty()) {
      const StationIndex here = open.back();
      open.pop_back();
      for (const prop::Neighbour& next : frame.neighbours(here)) {
        if (part_of_[next.station.value()] != kNoPart) continue;
        part_of_[next.station.value()] = part;
        open.push_back(next.station);
      }
    }
  }

  void find_gates(const prop::Frame& frame) {
    constexpr double kEqual = 1e-6;  // mm, as in prop::shortest_way
    const auto& joints = frame.joints();
    for (std::uint32_t near = 0; near < joints.size(); ++near) {
      for (std::uint32_t far = 0; far < joints.size(); ++far) {
        const auto pair = std::pair{of(joints[near].station), of(joints[far].station)};
        if (pair.first == pair.second) continue;
        const double gap = base::distance(joints[near].at, joints[far].at).value();
        auto& gates = gates_[pair];
        if (!gates.empty() && gap > gates.front().gap + kEqual) continue;
        if (!gates.empty() && gap < gates.front().gap - kEqual) gates.clear();
        gates.push_back({near, far, gap});
      }
    }
  }

  std::vector<std::size_t> part_of_;
  std::size_t count_ = 0;
  std::map<std::pair<std::size_t, std::size_t>, std::vector<Gate>> gates_;
};

}  // namespace

std::vector<Micrometres> ways_between(const prop::Frame& frame,
                                      const std::vector<StationIndex>& stations) {
  const Parts parts{frame};
  const std::size_t count = stations.size();
  std::vector<double> ways(count * count, kUnreached);
  // Only where there are gaps to cross: how far each station is from each joint.
  std::vector<std::vector<double>> to_joints(parts.one() ? 0 : count);
  for (std::size_t i = 0; i < count; ++i) {
    const std::vector<double> reach = reach_from(frame, stations[i]);
    for (std::size_t j = 0; j < count; ++j) ways[i * count + j] = reach[stations[j].value()];
    if (parts.one()) continue;
    for (const prop::Joint& joint : frame.joints()) {
      to_joints[i].push_back(reach[joint.station.value()]);
    }
  }
  for (std::size_t i = 0; i < count && !parts.one(); ++i) {
    for (std::size_t j = 0; j < count; ++j) {
      if (parts.of(stations[i]) == parts.of(stations[j])) continue;
      double& way = ways[i * count + j];
      for (const Gate& gate : parts.gates(parts.of(stations[i]), parts.of(stations[j]))) {
        way = std::min(way, to_joints[i][gate.near] + gate.gap + to_joints[j][gate.far]);
      }
    }
  }
  std::vector<Micrometres> rounded(count * count);
  for (std::size_t i = 0; i < count; ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      // One value for both directions: sums taken the other way round may differ in the last bit.
      const auto way = static_cast<Micrometres>(std::llround(ways[i * count + j] * 1000));
      rounded[i * count + j] = way;
      rounded[j * count + i] = way;
    }
  }
  return rounded;
}

}  // namespace panewalk::wiring
