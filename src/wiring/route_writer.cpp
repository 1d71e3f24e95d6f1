#include "wiring/route_writer.hpp"

#include <algorithm>
#include <utility>

#include "wiring/route_reader.hpp"

namespace panewalk::wiring {
namespace {

using base::JointIndex;
using base::StationIndex;

class RouteWriter {
 public:
  RouteWriter(const prop::Frame& frame, const std::vector<StationIndex>& order)
      : frame_{frame},
        order_{order},
        taken_(frame.stations().size()),
        grid_place_(frame.joints().size()) {
    for (const prop::Section& section : frame.sections()) {
      if (!section.grid) continue;
      const std::size_t across = section.grid->uprights.size();
      for (std::size_t i = 0; i < section.grid->joints.size(); ++i) {
        grid_place_[section.grid->joints[i].value()] = {i % across, i / across};
      }
    }
  }

  std::vector<std::string> write() {
    for (std::size_t begin = 0; begin < order_.size();) begin = write_run(begin);
    return std::move(runs_);
  }

 private:
  /// A place of the run to be written; what lies in line between two may be left out.
  struct Stop {
    std::string name;
    std::optional<JointIndex> joint;
    bool taken = true;
  };

  /// The longest run from `begin` on that reads back as it should; where it ends.
  std::size_t write_run(std::size_t begin) {
    std::size_t end = begin + 1;
    while (end < order_.size() && follows(end)) ++end;
    while (true) {
      for (const bool by_joints : {true, false}) {
        const std::string text = text_of(begin, end, by_joints);
        if (!reads_as(text, begin, end)) continue;
        for (std::size_t i = begin; i < end; ++i) taken_[order_[i].value()] = true;
        runs_.push_back(text);
        return end;
      }
      end = shorter(begin, end);
    }
  }

  /// Back to the nearest place where a run may naturally end: beside a joint or a hop.
  [[nodiscard]] std::size_t shorter(std::size_t begin, std::size_t end) const {
    for (--end; end > begin + 1; --end) {
      const bool at_joint = frame_[order_[end]].joint || frame_[order_[end - 1]].joint;
      if (at_joint || !are_neighbours(order_[end - 1], order_[end])) return end;
    }
    return begin + 1;
  }

  [[nodiscard]] bool are_neighbours(StationIndex a, StationIndex b) const {
    const auto& beside = frame_.neighbours(a);
    return std::any_of(beside.begin(), beside.end(),
                       [b](const prop::Neighbour& next) { return next.station == b; });
  }

  /// The one place between two stations over which the data can hop.
  [[nodiscard]] std::optional<StationIndex> hopped(StationIndex a, StationIndex b) const {
    for (const prop::Neighbour& next : frame_.neighbours(a)) {
      const prop::Station& between = frame_[next.station];
      if (!between.joint && between.carries_pixel) continue;
      if (are_neighbours(next.station, b)) return next.station;
    }
    return std::nullopt;
  }

  [[nodiscard]] bool follows(std::size_t i) const {
    return are_neighbours(order_[i - 1], order_[i]) || hopped(order_[i - 1], order_[i]).has_value();
  }

  [[nodiscard]] Stop stop_at(StationIndex station, bool taken) const {
    const prop::Station& place = frame_[station];
    return {.name = place.name, .joint = place.joint, .taken = taken};
  }

  /// The joint before the first station of a bar, as seen by a run that goes on to `next`.
  [[nodiscard]] std::optional<JointIndex> joint_outside(StationIndex end, StationIndex next) const {
    for (const prop::Neighbour& beside : frame_.neighbours(end)) {
      if (beside.station != next && frame_[beside.station].joint) {
        return frame_[beside.station].joint;
      }
    }
    return std::nullopt;
  }

  void add_end(std::vector<Stop>& stops, StationIndex end, StationIndex next,
               bool by_joints) const {
    if (frame_[end].joint) return;
    const auto outside = by_joints ? joint_outside(end, next) : std::nullopt;
    stops.push_back(outside ? stop_at(frame_[*outside].station, false) : stop_at(end, true));
  }

  [[nodiscard]] std::string text_of(std::size_t begin, std::size_t end, bool by_joints) const {
    if (end == begin + 1 && !by_joints) return frame_[order_[begin]].name;
    std::vector<Stop> stops;
    const bool lone = end == begin + 1;
    add_end(stops, order_[begin], lone ? order_[begin] : order_[begin + 1], by_joints);
    for (std::size_t i = begin; i < end; ++i) {
      if (i > begin && !are_neighbours(order_[i - 1], order_[i])) {
        const StationIndex over = *hopped(order_[i - 1], order_[i]);
        if (frame_[over].joint) stops.push_back(stop_at(over, false));
      }
      if (frame_[order_[i]].joint) stops.push_back(stop_at(order_[i], true));
    }
    if (lone && by_joints && !frame_[order_[begin]].joint) {
      // The whole of a bar with one place: from its one joint to the other.
      const prop::Bar& bar = frame_[*frame_[order_[begin]].bar];
      return '(' + frame_[bar.from].name + ") (" + frame_[bar.to].name + ')';
    }
    add_end(stops, order_[end - 1], lone ? order_[begin] : order_[end - 2], by_joints);
    return joined(without_inner(stops));
  }

  [[nodiscard]] bool in_line(const Stop& a, const Stop& b, const Stop& c) const {
    if (!a.joint || !b.joint || !c.joint) return false;
    const base::SectionIndex section = frame_[*b.joint].section;
    const auto& grid = frame_[section].grid;
    if (!grid || frame_[*a.joint].section != section || frame_[*c.joint].section != section) {
      return false;
    }
    const auto [ax, ay] = grid_place_[a.joint->value()];
    const auto [bx, by] = grid_place_[b.joint->value()];
    const auto [cx, cy] = grid_place_[c.joint->value()];
    const bool level = ay == by && by == cy && (ax < bx) == (bx < cx) && ax != bx;
    const bool upright = ax == bx && bx == cx && (ay < by) == (by < cy) && ay != by;
    return level || upright;
  }

  /// A joint that is taken is left out of a straight line unless both ends of it are passed by:
  /// "(B3) B2 (B1)" says more than "(B3) (B1)".
  [[nodiscard]] std::vector<Stop> without_inner(const std::vector<Stop>& stops) const {
    std::vector<Stop> kept;
    for (std::size_t i = 0; i < stops.size();) {
      std::size_t end = i;  // of the straight line from i
      while (end + 1 < stops.size() &&
             (end == i || in_line(stops[end - 1], stops[end], stops[end + 1]))) {
        ++end;
      }
      if (kept.empty()) kept.push_back(stops[i]);
      const bool tells = stops[i].taken || stops[end].taken;
      for (std::size_t inner = i + 1; inner < end; ++inner) {
        if (!tells || !stops[inner].taken) kept.push_back(stops[inner]);
      }
      if (end == i) break;
      kept.push_back(stops[end]);
      i = end;
    }
    return kept;
  }

  static std::string joined(const std::vector<Stop>& stops) {
    std::string text;
    for (const Stop& stop : stops) {
      if (!text.empty()) text += ' ';
      text += stop.taken ? stop.name : '(' + stop.name + ')';
    }
    return text;
  }

  [[nodiscard]] bool reads_as(const std::string& text, std::size_t begin, std::size_t end) const {
    base::Problems problems;
    const auto visits = walk_run(frame_, text, "", taken_, problems);
    if (!problems.empty()) return false;
    std::vector<bool> seen(frame_.stations().size());
    std::size_t at = begin;
    for (const Visit& visit : visits) {
      const prop::Station& station = frame_[visit.station];
      if (!station.carries_pixel || !visit.take) continue;
      const bool again = taken_[visit.station.value()] || seen[visit.station.value()];
      if (again && station.joint) continue;
      if (again || at == end || order_[at] != visit.station) return false;
      seen[visit.station.value()] = true;
      ++at;
    }
    return at == end;
  }

  const prop::Frame& frame_;
  const std::vector<StationIndex>& order_;
  std::vector<bool> taken_;
  std::vector<std::pair<std::size_t, std::size_t>> grid_place_;  // by joint: upright, level
  std::vector<std::string> runs_;
};

}  // namespace

std::vector<std::string> write_route(const prop::Frame& frame,
                                     const std::vector<StationIndex>& order) {
  return RouteWriter{frame, order}.write();
}

}  // namespace panewalk::wiring
