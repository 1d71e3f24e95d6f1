#include <algorithm>
#include <cmath>
#include <numbers>
#include <unordered_map>
#include <unordered_set>

#include "base/nearest.hpp"
#include "prop/frame_builder.hpp"

namespace panewalk::prop {
namespace {

using base::Problems;

/// How an arc's stations and joints divide it.
struct ArcPlan {
  bool ring = false;
  int gaps = 0;  ///< between neighbouring stations
  int joints = 0;
  int pieces = 0;  ///< bars
};

Degrees span_of(const ArcShape& arc) {
  const Degrees span = arc.to - arc.from;
  if (!is_full_turn(arc)) return span;
  return Degrees::of(span.value() < 0 ? -360 : 360);
}

void check_arc(const ArcShape& shape, const ArcPlan& plan, const std::string& pointer,
               Problems& problems) {
  const double span = span_of(shape).value();
  if (span == 0 || std::abs(span) > 360) {
    problems.push_back(
        {.where = pointer + "/to",
         .what = span == 0 ? "the arc ends where it begins" : "more than a full turn",
         .remedy = "up to 360 deg from the start, either way round"});
  }
  const int fewest = plan.ring ? 1 : 2;
  if (plan.joints < fewest) {
    problems.push_back(
        {.where = pointer + "/joints",
         .what = std::to_string(plan.joints) + (plan.joints == 1 ? " joint" : " joints"),
         .remedy = plan.ring ? "a ring has one, or more" : "an arc has its two ends, or more"});
  } else if (plan.gaps < plan.pieces || plan.gaps % plan.pieces != 0) {
    problems.push_back({.where = pointer + "/joints",
                        .what = std::to_string(plan.joints) + " even joints don't fall on " +
                                std::to_string(shape.stations) + " stations",
                        .remedy = counts_that_fit(shape.stations, plan.pieces, plan.ring ? 0 : 1) +
                                  " stations work"});
  }
}

bool same_place(Point a, Point b) { return base::distance(a, b) <= kSamePlace; }

}  // namespace

bool is_full_turn(const ArcShape& arc) {
  constexpr double kRounding = 1e-9;  // degrees; 512.2 - 152.2 is not 360 in binary
  return std::abs(std::abs((arc.to - arc.from).value()) - 360) < kRounding;
}

void lay_line(const LineShape& shape, const std::string& pointer, FrameBuilder& builder,
              Problems& problems) {
  if (same_place(shape.from, shape.to)) {
    problems.push_back({.where = pointer + "/to",
                        .what = "the line ends where it begins",
                        .remedy = "two different points"});
    return;
  }
  const JointIndex a = builder.add_joint("A", shape.from);
  const JointIndex b = builder.add_joint("B", shape.to);
  builder.add_straight_bar(a, b, shape.stations);
}

void lay_arc(const ArcShape& shape, const std::string& pointer, FrameBuilder& builder,
             Problems& problems) {
  const double span = span_of(shape).value();
  ArcPlan plan;
  plan.ring = is_full_turn(shape);
  plan.gaps = plan.ring ? shape.stations : shape.stations - 1;
  plan.joints = shape.joints.value_or(plan.ring ? 1 : 2);
  plan.pieces = plan.ring ? plan.joints : plan.joints - 1;
  const std::size_t before = problems.size();
  check_arc(shape, plan, pointer, problems);
  if (problems.size() != before) return;

  const auto point = [&shape, &plan, span](int gap) {
    const double turn = shape.from.value() + span * gap / plan.gaps;
    const double angle = turn * std::numbers::pi / 180;
    return shape.centre + Point{shape.radius * std::cos(angle), shape.radius * std::sin(angle)};
  };
  const Millimetres gap_length =
      shape.radius * (std::abs(span) * std::numbers::pi / 180 / plan.gaps);
  const int each = plan.gaps / plan.pieces;
  std::vector<JointIndex> joints;
  for (int j = 0; j < plan.joints; ++j) {
    joints.push_back(builder.add_joint(letters(static_cast<std::size_t>(j)), point(j * each)));
  }
  for (int piece = 0; piece < plan.pieces; ++piece) {
    std::vector<FrameBuilder::Place> inside;
    for (int i = 1; i < each; ++i) {
      inside.push_back({.at = point(piece * each + i), .reach = gap_length * i, .own_name = {}});
    }
    const auto from = static_cast<std::size_t>(piece);
    builder.add_bar(joints[from], joints[(from + 1) % joints.size()], inside, gap_length * each);
  }
}

void lay_path(const PathShape& shape, const std::string& pointer, FrameBuilder& builder,
              Problems& problems) {
  const std::size_t before = problems.size();
  const std::size_t legs = shape.corners.empty() ? 0 : shape.corners.size() - 1;
  if (legs == 0) {
    problems.push_back(
        {.where = pointer + "/corners", .what = "a path without a leg", .remedy = "two or more"});
  } else if (legs == 2 && same_place(shape.corners.front(), shape.corners.back())) {
    problems.push_back({.where = base::element(pointer + "/corners", 2),
                        .what = "the path goes back on itself",
                        .remedy = "a closed path has three legs or more"});
  } else if (shape.stations.size() != legs) {
    problems.push_back({.where = pointer + "/stations",
                        .what = std::to_string(shape.stations.size()) + " counts for " +
                                std::to_string(legs) + " legs",
                        .remedy = "one a leg"});
  }
  for (std::size_t i = 0; i < legs; ++i) {
    if (same_place(shape.corners[i], shape.corners[i + 1])) {
      problems.push_back({.where = base::element(pointer + "/corners", i + 1),
                          .what = "the same place as the corner before",
                          .remedy = "corners that follow each other differ"});
    }
  }
  if (problems.size() != before) return;

  const bool closed = legs > 1 && same_place(shape.corners.front(), shape.corners.back());
  std::vector<JointIndex> joints;
  for (std::size_t i = 0; i < (closed ? legs : legs + 1); ++i) {
    joints.push_back(builder.add_joint(letters(i), shape.corners[i]));
  }
  for (std::size_t i = 0; i < legs; ++i) {
    const bool closing = i + 1 == joints.size();
    // Named in the order of the letters, so the bar that closes D to A is A-D.
    builder.add_straight_bar(closing ? joints.front() : joints[i],
                             closing ? joints.back() : joints[i + 1], shape.stations[i]);
  }
}

void lay_bars(const BarsShape& shape, const std::string& pointer, FrameBuilder& builder,
              Problems& problems) {
  const std::size_t before = problems.size();
  if (shape.bars.empty()) {
    problems.push_back({.where = pointer + "/bars", .what = "no bars", .remedy = "one or more"});
    return;
  }
  std::vector<std::string> names;
  std::unordered_set<std::string> used;
  for (const auto& joint : shape.joints) names.push_back(joint.name);
  std::unordered_map<std::string, std::size_t> joined;
  for (std::size_t i = 0; i < shape.bars.size(); ++i) {
    const auto& bar = shape.bars[i];
    const std::string where = base::element(pointer + "/bars", i);
    for (const auto& [end, name] : {std::pair{"/from", bar.from}, std::pair{"/to", bar.to}}) {
      used.insert(name);
      if (std::find(names.begin(), names.end(), name) == names.end()) {
        problems.push_back({.where = where + end,
                            .what = "no joint is named " + base::quoted(name),
                            .remedy = base::name_hint(name, names)});
      }
    }
    if (bar.from == bar.to) {
      problems.push_back({.where = where + "/to",
                          .what = "the bar ends where it begins",
                          .remedy = "two different joints"});
      continue;
    }
    const std::string pair = std::min(bar.from, bar.to) + '-' + std::max(bar.from, bar.to);
    const auto [other, is_new] = joined.emplace(pair, i);
    if (!is_new) {
      problems.push_back({.where = where,
                          .what = "bar " + std::to_string(other->second + 1) + " joins " +
                                  bar.from + " and " + bar.to + " already",
                          .remedy = "one straight bar between two joints"});
    }
  }
  for (const auto& joint : shape.joints) {
    if (used.count(joint.name) == 0) {
      problems.push_back({.where = base::member(pointer + "/joints", joint.name),
                          .what = "no bar ends at joint " + base::quoted(joint.name),
                          .remedy = "a bar to it, or no joint"});
    }
  }
  if (problems.size() != before) return;

  std::unordered_map<std::string, JointIndex> index;
  for (const auto& joint : shape.joints) {
    index[joint.name] = builder.add_joint(joint.name, joint.at);
  }
  for (const auto& bar : shape.bars) {
    builder.add_straight_bar(index[bar.from], index[bar.to], bar.stations);
  }
}

void lay_points(const PointsShape& shape, const std::string& pointer, FrameBuilder& builder,
                Problems& problems) {
  if (shape.points.empty()) {
    problems.push_back({.where = pointer, .what = "no points", .remedy = "one line a station"});
    return;
  }
  const auto name = [](std::size_t index) { return 'P' + std::to_string(index + 1); };
  const std::size_t last = shape.points.size() - 1;
  const JointIndex first = builder.add_joint(name(0), shape.points.front());
  if (last == 0) return;
  const JointIndex end = builder.add_joint(name(last), shape.points.back());
  std::vector<FrameBuilder::Place> inside;
  Millimetres reach;
  for (std::size_t i = 1; i < last; ++i) {
    reach += base::distance(shape.points[i - 1], shape.points[i]);
    inside.push_back({.at = shape.points[i], .reach = reach, .own_name = name(i)});
  }
  builder.add_bar(first, end, inside,
                  reach + base::distance(shape.points[last - 1], shape.points[last]));
}

}  // namespace panewalk::prop
