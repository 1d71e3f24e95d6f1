#include <array>
#include <cmath>

#include "sheet/steps.hpp"

namespace panewalk::sheet {
namespace {

using base::PixelIndex;

struct Turn {
  double x = 0, y = 0;  // as seen from the back, y down
};

Turn between(const engine::PlannedProp& prop, PixelIndex from, PixelIndex to) {
  const base::Point away =
      prop.frame[prop.map.station_of(to)].at - prop.frame[prop.map.station_of(from)].at;
  return {-away.x.value(), away.y.value()};
}

bool on_arc(const engine::PlannedProp& prop, PixelIndex pixel) {
  const auto section = prop.frame[prop.map.station_of(pixel)].section;
  const prop::ShapeKind kind = prop.frame[section].kind;
  return kind == prop::ShapeKind::kArc || kind == prop::ShapeKind::kRing;
}

/// More than a bar bends from one pixel to the next.
bool turns(Turn before, Turn after) {
  constexpr double kCosine = 0.94;  // 20 degrees
  const double length = std::hypot(before.x, before.y) * std::hypot(after.x, after.y);
  return before.x * after.x + before.y * after.y < kCosine * length;
}

std::string straight_way(Turn turn) {
  constexpr std::array kWays{
      "to the right", "down and to the right", "down", "down and to the left",
      "to the left",  "up and to the left",    "up",   "up and to the right"};
  constexpr double kEighth = 0.78539816339744831;
  const double eighths = std::atan2(turn.y, turn.x) / kEighth;
  return kWays[static_cast<std::size_t>(std::lround(eighths) + 8) % 8];
}

std::string way_of(const engine::PlannedProp& prop, PixelIndex first, PixelIndex last) {
  if (first == last) return "";
  if (!on_arc(prop, first)) return straight_way(between(prop, first, last));
  if (last == first.next()) return straight_way(between(prop, first, last));
  // The first two steps: y is down, so a turn to the right hand goes with the clock.
  const PixelIndex second = first.next();
  const Turn a = between(prop, first, second);
  const Turn b = between(prop, second, second.next());
  return a.x * b.y - a.y * b.x > 0 ? "clockwise" : "anticlockwise";
}

}  // namespace

std::vector<Stretch> stretches(const engine::PlannedProp& prop) {
  std::vector<Stretch> all;
  for (std::size_t i = 1; i <= prop.map.size(); ++i) {
    const PixelIndex pixel = PixelIndex::of(i);
    const int run = prop.map.run_of(pixel);
    bool goes_on = !all.empty() && all.back().run == run &&
                   prop.map.reached_by(pixel) == wiring::ReachedBy::kRun;
    if (goes_on && all.back().first < all.back().last && !on_arc(prop, pixel)) {
      const PixelIndex before = all.back().last;
      goes_on = !turns(between(prop, PixelIndex::of(before.value() - 1), before),
                       between(prop, before, pixel));
    }
    if (goes_on) {
      all.back().last = pixel;
    } else {
      all.push_back({.run = run, .first = pixel, .last = pixel, .way = ""});
    }
  }
  for (Stretch& stretch : all) stretch.way = way_of(prop, stretch.first, stretch.last);
  return all;
}

}  // namespace panewalk::sheet
