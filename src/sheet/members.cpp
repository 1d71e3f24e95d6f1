#include "sheet/members.hpp"

#include <algorithm>
#include <cmath>

#include "sheet/text.hpp"

namespace panewalk::sheet {
namespace {

using base::BarIndex;
using base::JointIndex;
using prop::Frame;

constexpr double kInLine = 2;  // degrees: what a pipe bends without noticing
constexpr double kSquare = 5;  // degrees off, and a square fitting still goes on
constexpr double kDegrees = 57.295779513082321;

/// The directions in which bars leave the joint, in degrees. Straight bars only.
std::vector<double> directions(const Frame& frame, JointIndex joint) {
  std::vector<double> all;
  for (const BarIndex index : frame[joint].bars) {
    const prop::Bar& bar = frame[index];
    const base::Point to = frame[bar.from == joint ? bar.to : bar.from].at;
    const base::Point away = to - frame[joint].at;
    all.push_back(std::atan2(away.y.value(), away.x.value()) * kDegrees);
  }
  return all;
}

/// 0 … 180.
double between(double a, double b) {
  const double turn = std::abs(std::remainder(a - b, 360.0));
  return std::min(turn, 360 - turn);
}

bool near(double angle, double wanted, double off) { return std::abs(angle - wanted) <= off; }

bool is_arc(const Frame& frame, JointIndex joint) {
  const prop::ShapeKind kind = frame[frame[joint].section].kind;
  return kind == prop::ShapeKind::kArc || kind == prop::ShapeKind::kRing;
}

/// Two of them in line, and every other square to them.
bool is_square(const std::vector<double>& all) {
  for (const double a : all) {
    bool in_line = false;
    bool fits = true;
    for (const double b : all) {
      const double turn = between(a, b);
      in_line = in_line || near(turn, 180, kSquare);
      fits = fits && (turn < kSquare || near(turn, 90, kSquare) || near(turn, 180, kSquare));
    }
    if (in_line && fits) return true;
  }
  return false;
}

/// The bar that goes on from `bar` at `joint`.
BarIndex other_bar(const Frame& frame, BarIndex bar, JointIndex joint) {
  const std::vector<BarIndex>& bars = frame[joint].bars;
  return bars.front() == bar ? bars.back() : bars.front();
}

JointIndex other_end(const prop::Bar& bar, JointIndex joint) {
  return bar.from == joint ? bar.to : bar.from;
}

/// The joint where the pipe that holds this bar begins, and its first bar.
std::pair<JointIndex, BarIndex> beginning(const Frame& frame, BarIndex start) {
  JointIndex joint = frame[start].from;
  BarIndex bar = start;
  while (passes_through(frame, joint)) {
    const BarIndex before = other_bar(frame, bar, joint);
    if (before == start) return {frame[start].from, start};  // closed
    bar = before;
    joint = other_end(frame[bar], joint);
  }
  return {joint, bar};
}

Member member_from(const Frame& frame, JointIndex joint, BarIndex bar, std::vector<bool>& seen) {
  Member member;
  member.from = joint;
  member.bent = is_arc(frame, joint);
  member.places.push_back({frame[joint].station, {}});
  for (;;) {
    seen[bar.value()] = true;
    const prop::Bar& here = frame[bar];
    const bool forward = here.from == joint;
    for (std::size_t i = 0; i < here.inside.size(); ++i) {
      const std::size_t at = forward ? i : here.inside.size() - 1 - i;
      const base::Millimetres reach = forward ? here.reach[at] : here.length - here.reach[at];
      member.places.push_back({here.inside[at], member.length + reach});
    }
    member.length += here.length;
    joint = other_end(here, joint);
    member.to = joint;
    const bool goes_on = passes_through(frame, joint);
    const BarIndex next = goes_on ? other_bar(frame, bar, joint) : bar;
    member.closed = joint == member.from && goes_on && seen[next.value()];
    if (!member.closed) member.places.push_back({frame[joint].station, member.length});
    if (!goes_on || seen[next.value()]) return member;
    bar = next;
  }
}

}  // namespace

bool passes_through(const Frame& frame, JointIndex joint) {
  if (frame[joint].bars.size() != 2) return false;
  if (is_arc(frame, joint)) return true;
  const std::vector<double> all = directions(frame, joint);
  return near(between(all.front(), all.back()), 180, kInLine);
}

std::string fitting_at(const Frame& frame, JointIndex joint) {
  const std::size_t bars = frame[joint].bars.size();
  if (bars == 0 || passes_through(frame, joint)) return "";
  if (bars == 1) return "end cap";
  const std::vector<double> all = directions(frame, joint);
  if (bars == 2) {
    const double turn = 180 - between(all.front(), all.back());
    return (near(turn, 90, kSquare) ? "90" : rounded(turn, 0)) + "\xC2\xB0 elbow";
  }
  if (bars == 3) return is_square(all) ? "tee" : "three-way fitting";
  if (bars == 4) return is_square(all) ? "cross" : "four-way fitting";
  return std::to_string(bars) + "-way fitting";
}

std::vector<Member> members(const Frame& frame) {
  std::vector<Member> all;
  std::vector<bool> seen(frame.bars().size(), false);
  for (std::size_t i = 0; i < seen.size(); ++i) {
    const BarIndex bar = BarIndex::of(i);
    if (seen[i] || frame[frame[bar].section].kind == prop::ShapeKind::kPoints) continue;
    const auto [joint, first] = beginning(frame, bar);
    all.push_back(member_from(frame, joint, first, seen));
  }
  return all;
}

}  // namespace panewalk::sheet
