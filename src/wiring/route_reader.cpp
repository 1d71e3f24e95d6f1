#include "wiring/route_reader.hpp"

#include <algorithm>

#include "base/nearest.hpp"

namespace panewalk::wiring {
namespace {

using base::BarIndex;
using base::JointIndex;
using base::Problem;
using base::Problems;
using base::StationIndex;

/// Splits a run into stops and looks each up.
class StopReader {
 public:
  StopReader(const prop::Frame& frame, const std::string& text, const std::string& where,
             Problems& problems)
      : frame_{frame}, text_{text}, where_{where}, problems_{problems} {}

  std::vector<RouteStop> read() {
    std::vector<RouteStop> stops;
    std::size_t i = 0;
    while (i < text_.size()) {
      if (text_[i] == ' ') {
        ++i;
        continue;
      }
      const std::size_t end = std::min(text_.find(' ', i), text_.size());
      if (auto stop = read_stop(text_.substr(i, end - i), static_cast<int>(i))) {
        stops.push_back(std::move(*stop));
      }
      i = end;
    }
    return stops;
  }

 private:
  std::optional<RouteStop> read_stop(const std::string& word, int at) {
    RouteStop stop{
        .name = word, .station = {}, .joint = {}, .passed_by = word.front() == '(', .at = at};
    if (stop.passed_by != (word.back() == ')') || (stop.passed_by && word.size() < 3)) {
      return refuse(at, base::quoted(word) + " is no joint",
                    "a joint, such as A1, or a joint in parentheses, such as (A1)");
    }
    if (stop.passed_by) stop.name = word.substr(1, word.size() - 2);
    stop.joint = frame_.find_joint(stop.name);
    const auto station = frame_.find_station(stop.name);
    if (!station) return refuse_unknown(stop);
    stop.station = *station;
    if (!stop.joint && stop.passed_by) {
      return refuse(at, base::quoted(word) + " is inside a bar",
                    "only joints can be passed by in parentheses");
    }
    return stop;
  }

  std::optional<RouteStop> refuse_unknown(const RouteStop& stop) {
    const auto slash = stop.name.find('/');
    if (slash != std::string::npos) {
      // A bar that exists and a place that it lacks deserve the count.
      const auto first = frame_.find_station(stop.name.substr(0, slash) + "/1");
      if (first) {
        const prop::Bar& bar = frame_[*frame_[*first].bar];
        return refuse(stop.at, bar.name + " has no station " + stop.name.substr(slash + 1),
                      "1 to " + std::to_string(bar.inside.size()) + ", joints not counted");
      }
      return refuse(stop.at, "no station is named " + base::quoted(stop.name),
                    "two joints of one bar and a place, such as A1-B1/3");
    }
    return refuse(stop.at, "no joint is named " + base::quoted(stop.name), joint_hint(stop.name));
  }

  [[nodiscard]] std::string joint_hint(const std::string& name) const {
    const std::vector<std::string> names = frame_.joint_names();
    if (const auto near = base::nearest(name, names)) return "did you mean " + *near + "?";
    constexpr std::size_t kMostListed = 12;
    if (names.size() <= kMostListed) return "joints: " + base::listed(names, "and");
    return "joints: " + names.front() + " to " + names.back();
  }

  std::nullopt_t refuse(int at, std::string what, std::string remedy) {
    problems_.push_back(
        {.where = where_, .what = std::move(what), .remedy = std::move(remedy), .within = at});
    return std::nullopt;
  }

  const prop::Frame& frame_;
  const std::string& text_;
  const std::string& where_;
  Problems& problems_;
};

/// Walks along bars from stop to stop.
class RunWalker {
 public:
  RunWalker(const prop::Frame& frame, const std::string& where, const std::vector<bool>& taken,
            Problems& problems)
      : frame_{frame}, where_{where}, taken_{taken}, problems_{problems} {}

  std::vector<Visit> walk(const std::vector<RouteStop>& stops) {
    if (stops.empty()) return {};
    visits_.push_back({.station = stops.front().station,
                       .take = !stops.front().passed_by,
                       .at = stops.front().at});
    for (std::size_t i = 1; i < stops.size(); ++i) {
      const bool inner = i + 1 < stops.size();
      if (inner && !stops[i].joint) {
        refuse(stops[i], stops[i].name + " is inside a bar and in the middle of a run",
               "a run starts or ends inside a bar, or passes joints");
        return {};
      }
      if (!step(stops[i - 1], stops[i])) return {};
    }
    return std::move(visits_);
  }

 private:
  bool step(const RouteStop& from, const RouteStop& to) {
    if (from.joint && to.joint) return from_joint_to_joint(*from.joint, *to.joint, from, to);
    if (!from.joint && !to.joint) return inside_one_bar(from, to);
    return between_joint_and_station(from, to);
  }

  enum class End { kFrom, kTo };

  /// One stop is a joint, the other inside a bar that ends there or, in a window, lies in line with
  /// it.
  bool between_joint_and_station(const RouteStop& from, const RouteStop& to) {
    const bool entering = from.joint.has_value();
    const RouteStop& outer = entering ? from : to;
    const prop::Bar& bar = frame_[*frame_[(entering ? to : from).station].bar];
    // Round a one-joint ring the data goes in the order of the angle, in and out.
    const End first = entering ? End::kFrom : End::kTo;
    for (const End end : {first, first == End::kFrom ? End::kTo : End::kFrom}) {
      auto way = way_to_end(bar, end, *outer.joint);
      if (way.empty()) continue;
      if (entering) {
        walk_joints({way.rbegin(), way.rend()}, to);
        enter(bar, end, to);
      } else {
        leave(bar, end, from, to);
        walk_joints(way, to);
      }
      return true;
    }
    return refuse_unjoined(from, to);
  }

  /// The joints from an end of the bar to `joint`, away from the bar; nothing where they don't lie
  /// so.
  [[nodiscard]] std::vector<JointIndex> way_to_end(const prop::Bar& bar, End end,
                                                   JointIndex joint) const {
    const JointIndex near = end == End::kFrom ? bar.from : bar.to;
    const JointIndex far = end == End::kFrom ? bar.to : bar.from;
    if (near == joint) return {near};
    if (line_between(far, joint).empty()) return {};
    auto way = line_between(near, joint);
    if (std::find(way.begin(), way.end(), far) != way.end()) return {};
    return way;
  }

  void enter(const prop::Bar& bar, End end, const RouteStop& station) {
    auto inside = bar.inside;
    if (end == End::kTo) std::reverse(inside.begin(), inside.end());
    for (const StationIndex next : inside) {
      pass(next, station);
      if (next == station.station) break;
    }
  }

  void leave(const prop::Bar& bar, End end, const RouteStop& station, const RouteStop& to) {
    auto inside = bar.inside;
    if (end == End::kFrom) std::reverse(inside.begin(), inside.end());
    const auto here = std::find(inside.begin(), inside.end(), station.station);
    for (auto next = here + 1; next != inside.end(); ++next) pass(*next, to);
  }

  /// The joints from `a` to `b`, both included, where a window's upright or level holds both.
  [[nodiscard]] std::vector<JointIndex> line_between(JointIndex a, JointIndex b) const {
    const base::SectionIndex section = frame_[a].section;
    const auto& grid = frame_[section].grid;
    if (!grid || frame_[b].section != section || a == b) return {};
    const auto place = [&](JointIndex joint) {
      const auto found = std::find(grid->joints.begin(), grid->joints.end(), joint);
      const auto index = static_cast<std::size_t>(found - grid->joints.begin());
      return std::pair{index % grid->uprights.size(), index / grid->uprights.size()};
    };
    auto [upright, level] = place(a);
    const auto [end_upright, end_level] = place(b);
    if (upright != end_upright && level != end_level) return {};
    std::vector<JointIndex> way{a};
    while (upright != end_upright || level != end_level) {
      if (upright < end_upright)
        ++upright;
      else if (upright > end_upright)
        --upright;
      else if (level < end_level)
        ++level;
      else
        --level;
      way.push_back(grid->joint(upright, level));
    }
    return way;
  }

  bool from_joint_to_joint(JointIndex a, JointIndex b, const RouteStop& from, const RouteStop& to) {
    const auto way = line_between(a, b);
    if (!way.empty()) return walk_joints(way, to);
    return walk_one_bar(a, b, from, to);
  }

  /// Along neighbouring joints; the first is where the walk stands, or is where it arrives.
  bool walk_joints(const std::vector<JointIndex>& way, const RouteStop& to) {
    arrive(way.front(), to);
    for (std::size_t i = 1; i < way.size(); ++i) {
      walk_whole_bar(frame_.bars_between(way[i - 1], way[i]).front(), way[i - 1], to);
      arrive(way[i], to);
    }
    return true;
  }

  bool walk_one_bar(JointIndex a, JointIndex b, const RouteStop& from, const RouteStop& to) {
    const std::vector<BarIndex> bars = frame_.bars_between(a, b);
    if (bars.empty()) return refuse_unjoined(from, to);
    // Two bars join the joints of a two-joint ring: the one that is still to be wired, else the
    // first.
    auto bar = std::find_if(bars.begin(), bars.end(), [this](BarIndex i) { return untouched(i); });
    if (bar == bars.end()) bar = bars.begin();
    // A bar from a joint to itself goes round in the order of the angle.
    walk_whole_bar(*bar, a, to);
    arrive(b, to);
    return true;
  }

  [[nodiscard]] bool untouched(BarIndex index) const {
    const auto& inside = frame_[index].inside;
    return std::none_of(inside.begin(), inside.end(), [this](StationIndex station) {
      return taken_[station.value()] ||
             std::any_of(visits_.begin(), visits_.end(),
                         [station](const Visit& visit) { return visit.station == station; });
    });
  }

  bool inside_one_bar(const RouteStop& from, const RouteStop& to) {
    const BarIndex index = *frame_[from.station].bar;
    if (frame_[to.station].bar != index) return refuse_unjoined(from, to);
    const auto& inside = frame_[index].inside;
    auto at = std::find(inside.begin(), inside.end(), from.station) - inside.begin();
    const auto end = std::find(inside.begin(), inside.end(), to.station) - inside.begin();
    while (at != end) {
      at += at < end ? 1 : -1;
      pass(inside[static_cast<std::size_t>(at)], to);
    }
    return true;
  }

  void walk_whole_bar(BarIndex index, JointIndex start, const RouteStop& to) {
    const prop::Bar& bar = frame_[index];
    if (bar.from == start) {
      for (const StationIndex station : bar.inside) pass(station, to);
    } else {
      for (auto it = bar.inside.rbegin(); it != bar.inside.rend(); ++it) pass(*it, to);
    }
  }

  void pass(StationIndex station, const RouteStop& to) {
    visits_.push_back({.station = station, .take = true, .at = to.at});
  }

  /// A joint on the way is taken, the one that the stop names as the stop says.
  void arrive(JointIndex joint, const RouteStop& to) {
    const StationIndex station = frame_[joint].station;
    if (!visits_.empty() && visits_.back().station == station) return;
    const bool named = to.joint && *to.joint == joint;
    visits_.push_back({.station = station, .take = !(named && to.passed_by), .at = to.at});
  }

  bool refuse_unjoined(const RouteStop& from, const RouteStop& to) {
    const bool window = frame_[frame_[to.station].section].grid.has_value();
    return refuse(
        to, "no bar joins " + from.name + " and " + to.name,
        window ? "stops of one run follow each other along one upright or level; end the run "
                 "here and begin another for a jump"
               : "stops of one run follow each other along bars; end the run here and begin "
                 "another for a jump");
  }

  bool refuse(const RouteStop& stop, std::string what, std::string remedy) {
    problems_.push_back(
        {.where = where_, .what = std::move(what), .remedy = std::move(remedy), .within = stop.at});
    return false;
  }

  const prop::Frame& frame_;
  const std::string& where_;
  const std::vector<bool>& taken_;
  Problems& problems_;
  std::vector<Visit> visits_;
};

}  // namespace

std::vector<Visit> walk_run(const prop::Frame& frame, const std::string& text,
                            const std::string& where, const std::vector<bool>& taken,
                            Problems& problems) {
  const std::size_t before = problems.size();
  const auto stops = StopReader{frame, text, where, problems}.read();
  if (problems.size() != before) return {};
  if (stops.empty()) {
    problems.push_back(
        {.where = where, .what = "an empty run", .remedy = "joints, such as \"A1 B1\""});
    return {};
  }
  return RunWalker{frame, where, taken, problems}.walk(stops);
}

}  // namespace panewalk::wiring
