#include "pattern/outer_face.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace panewalk::pattern {
namespace {

using base::BarIndex;
using base::JointIndex;
using base::Point;
using prop::Frame;
using prop::Section;

/// A bar seen from one of its ends.
struct Dart {
  double angle = 0;
  BarIndex bar;
  JointIndex from, to;
};

using Fan = std::vector<Dart>;  // the darts of one joint by growing angle

Fan fan_of(const Frame& frame, JointIndex joint) {
  Fan fan;
  for (const BarIndex index : frame[joint].bars) {
    const prop::Bar& bar = frame[index];
    const JointIndex other = bar.from == joint ? bar.to : bar.from;
    const Point way = frame[other].at - frame[joint].at;
    fan.push_back({.angle = std::atan2(way.y.value(), way.x.value()),
                   .bar = index,
                   .from = joint,
                   .to = other});
  }
  std::sort(fan.begin(), fan.end(), [](const Dart& a, const Dart& b) { return a.angle < b.angle; });
  return fan;
}

/// The dart that follows `dart` round the face beside it: at its end, the next bar by angle.
const Dart& next_of(const std::map<JointIndex, Fan>& fans, const Dart& dart) {
  const Fan& fan = fans.at(dart.to);
  const auto back = std::find_if(fan.begin(), fan.end(),
                                 [&dart](const Dart& each) { return each.bar == dart.bar; });
  return std::next(back) == fan.end() ? fan.front() : *std::next(back);
}

/// One connected part: its outer walk.
struct Part {
  std::vector<JointIndex> walk;
  std::set<BarIndex> bars;
};

/// `joints` are connected. At the leftmost joint (the topmost of these) every bar leads to the
/// right or straight down, so the outside lies between the last dart by angle and the first.
Part walk_round(const Frame& frame, const std::map<JointIndex, Fan>& fans,
                const std::vector<JointIndex>& joints) {
  const JointIndex start =
      *std::min_element(joints.begin(), joints.end(),
                        [&frame](JointIndex a, JointIndex b) { return frame[a].at < frame[b].at; });
  Part part;
  const Dart* dart = &fans.at(start).front();
  const Dart* const first = dart;
  do {
    part.walk.push_back(dart->from);
    part.bars.insert(dart->bar);
    dart = &next_of(fans, *dart);
  } while (dart != first);
  return part;
}

/// Whether a ray to the right from `point` crosses the walk an odd number of times.
bool encloses(const Frame& frame, const Part& part, Point point) {
  bool within = false;
  for (std::size_t i = 0; i < part.walk.size(); ++i) {
    const Point a = frame[part.walk[i]].at;
    const Point b = frame[part.walk[(i + 1) % part.walk.size()]].at;
    if ((a.y > point.y) == (b.y > point.y)) continue;
    const double share = (point.y - a.y) / (b.y - a.y);
    if (a.x + (b.x - a.x) * share > point.x) within = !within;
  }
  return within;
}

std::vector<std::vector<JointIndex>> connected_parts(const std::map<JointIndex, Fan>& fans) {
  std::vector<std::vector<JointIndex>> parts;
  std::set<JointIndex> seen;
  for (const auto& [joint, unused] : fans) {
    if (!seen.insert(joint).second) continue;
    std::vector<JointIndex> part{joint};
    for (std::size_t i = 0; i < part.size(); ++i) {
      for (const Dart& dart : fans.at(part[i])) {
        if (seen.insert(dart.to).second) part.push_back(dart.to);
      }
    }
    parts.push_back(part);
  }
  return parts;
}

}  // namespace

std::vector<BarIndex> outer_bars(const Frame& frame, const Section& section) {
  std::map<JointIndex, Fan> fans;
  for (std::uint32_t i = section.first_joint; i < section.end_joint; ++i) {
    fans.emplace(JointIndex::of(i), fan_of(frame, JointIndex::of(i)));
  }
  std::vector<Part> parts;
  for (const auto& joints : connected_parts(fans)) parts.push_back(walk_round(frame, fans, joints));
  std::vector<BarIndex> outer;
  for (const Part& part : parts) {
    const Point inner = frame[part.walk.front()].at;
    const bool within = std::any_of(parts.begin(), parts.end(), [&](const Part& other) {
      return &other != &part && encloses(frame, other, inner);
    });
    if (!within) outer.insert(outer.end(), part.bars.begin(), part.bars.end());
  }
  std::sort(outer.begin(), outer.end());
  return outer;
}

}  // namespace panewalk::pattern
