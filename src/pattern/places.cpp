#include "pattern/places.hpp"

#include <algorithm>

#include "pattern/outer_face.hpp"

namespace panewalk::pattern {
namespace {

using base::Point;
using prop::Frame;
using prop::Section;

void append(Stations& all, const Stations& more) {
  all.insert(all.end(), more.begin(), more.end());
}

bool holds(const Stations& stations, StationIndex station) {
  return std::find(stations.begin(), stations.end(), station) != stations.end();
}

struct Box {
  Point least, most;
};

Box bounding_box(const Frame& frame, const Section& section) {
  Box box{frame.stations()[section.first_station].at, frame.stations()[section.first_station].at};
  for (const StationIndex station : stations_of(section)) {
    const Point at = frame[station].at;
    box.least = {std::min(box.least.x, at.x), std::min(box.least.y, at.y)};
    box.most = {std::max(box.most.x, at.x), std::max(box.most.y, at.y)};
  }
  return box;
}

/// The first in order of the frame among equally near ones. `among` is not empty.
StationIndex nearest_to(const Frame& frame, const Stations& among, Point point) {
  constexpr double kAsNear = 1e-6;  // mm; rounding must not choose between mirror images
  StationIndex best = among.front();
  for (const StationIndex station : among) {
    const double gain =
        (base::distance(frame[best].at, point) - base::distance(frame[station].at, point)).value();
    if (gain > kAsNear) best = station;
  }
  return best;
}

/// Bars along which the joints of a grid follow each other.
Stations along(const Frame& frame, const std::vector<base::JointIndex>& joints) {
  Stations all{frame[joints.front()].station};
  for (std::size_t i = 1; i < joints.size(); ++i) {
    for (const BarIndex between : frame.bars_between(joints[i - 1], joints[i])) {
      append(all, frame[between].inside);
    }
    all.push_back(frame[joints[i]].station);
  }
  return all;
}

}  // namespace

Stations stations_of(const Section& section) {
  Stations all;
  for (std::uint32_t i = section.first_station; i < section.end_station; ++i) {
    all.push_back(StationIndex::of(i));
  }
  return all;
}

Stations bar(const Frame& frame, BarIndex index) {
  const prop::Bar& bar = frame[index];
  Stations all{frame[bar.from].station};
  append(all, bar.inside);
  if (bar.to != bar.from) all.push_back(frame[bar.to].station);
  return all;
}

Stations upright(const Frame& frame, const Section& section, std::size_t upright) {
  std::vector<base::JointIndex> joints;
  for (std::size_t level = 0; level < section.grid->levels.size(); ++level) {
    joints.push_back(section.grid->joint(upright, level));
  }
  return along(frame, joints);
}

Stations level(const Frame& frame, const Section& section, std::size_t level) {
  std::vector<base::JointIndex> joints;
  for (std::size_t upright = 0; upright < section.grid->uprights.size(); ++upright) {
    joints.push_back(section.grid->joint(upright, level));
  }
  return along(frame, joints);
}

Stations pane(const Frame& frame, const Section& section, std::size_t upright, std::size_t level) {
  const prop::WindowGrid& grid = *section.grid;
  return along(frame, {grid.joint(upright, level), grid.joint(upright + 1, level),
                       grid.joint(upright + 1, level + 1), grid.joint(upright, level + 1),
                       grid.joint(upright, level)});
}

Stations outline(const Frame& frame, const Section& section) {
  if (section.kind == prop::ShapeKind::kBars) {
    Stations all;
    for (const BarIndex index : outer_bars(frame, section)) append(all, bar(frame, index));
    return all;
  }
  if (!section.grid) return stations_of(section);
  Stations all = upright(frame, section, 0);
  append(all, upright(frame, section, section.grid->uprights.size() - 1));
  append(all, level(frame, section, 0));
  append(all, level(frame, section, section.grid->levels.size() - 1));
  return all;
}

Stations inside(const Frame& frame, const Section& section) {
  std::vector<bool> outer(section.end_station - section.first_station);
  for (const StationIndex station : outline(frame, section)) {
    outer[station.value() - section.first_station] = true;
  }
  Stations all;
  for (const StationIndex station : stations_of(section)) {
    if (!outer[station.value() - section.first_station]) all.push_back(station);
  }
  return all;
}

Stations crossings(const Frame& frame, const Section& section) {
  Stations all;
  for (std::uint32_t i = section.first_joint; i < section.end_joint; ++i) {
    if (frame.joints()[i].bars.size() >= 3) all.push_back(frame.joints()[i].station);
  }
  return all;
}

StationIndex corner(const Frame& frame, const Section& section, Corner which) {
  const bool right = which == Corner::kTopRight || which == Corner::kBottomRight;
  const bool bottom = which == Corner::kBottomRight || which == Corner::kBottomLeft;
  if (section.grid) {
    const prop::WindowGrid& grid = *section.grid;
    return frame[grid.joint(right ? grid.uprights.size() - 1 : 0,
                            bottom ? grid.levels.size() - 1 : 0)]
        .station;
  }
  const Box box = bounding_box(frame, section);
  return nearest_to(frame, stations_of(section),
                    {right ? box.most.x : box.least.x, bottom ? box.most.y : box.least.y});
}

std::optional<Middle> middle(const Frame& frame, const Section& section) {
  const Stations among = section.grid ? inside(frame, section) : stations_of(section);
  if (among.empty()) return std::nullopt;
  const Box box = bounding_box(frame, section);
  const Point centre = (box.least + box.most) * 0.5;
  Middle found;
  found.station = nearest_to(frame, among, centre);
  found.away = base::distance(frame[found.station].at, centre);
  for (const StationIndex station : stations_of(section)) {
    for (const prop::Neighbour& next : frame.neighbours(station)) {
      found.pitch = std::max(found.pitch, next.along);
    }
  }
  return found;
}

Stations cross(const Frame& frame, const Section& section, StationIndex through) {
  Stations all;
  if (section.grid) {
    for (std::size_t i = 0; i < section.grid->uprights.size(); ++i) {
      const Stations whole = upright(frame, section, i);
      if (holds(whole, through)) append(all, whole);
    }
    for (std::size_t i = 0; i < section.grid->levels.size(); ++i) {
      const Stations whole = level(frame, section, i);
      if (holds(whole, through)) append(all, whole);
    }
    return all;
  }
  const prop::Station& station = frame[through];
  if (station.bar) return bar(frame, *station.bar);
  all.push_back(through);
  for (const BarIndex index : frame[*station.joint].bars) append(all, bar(frame, index));
  return all;
}

}  // namespace panewalk::pattern
