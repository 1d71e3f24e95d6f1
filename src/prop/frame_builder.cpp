#include "prop/frame_builder.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include "base/nearest.hpp"

namespace panewalk::prop {

using base::Problems;

void FrameBuilder::begin_section(const SectionDescription& section, ShapeKind kind) {
  const auto count = [](const auto& list) { return static_cast<std::uint32_t>(list.size()); };
  frame_.sections_.push_back({.name = section.name,
                              .kind = kind,
                              .first_station = count(frame_.stations_),
                              .end_station = count(frame_.stations_),
                              .first_joint = count(frame_.joints_),
                              .end_joint = count(frame_.joints_),
                              .first_bar = count(frame_.bars_),
                              .end_bar = count(frame_.bars_)});
  origin_ = section.at;
}

std::string FrameBuilder::full_name(const std::string& name) const {
  return names_sections_ ? frame_.sections_.back().name + '.' + name : name;
}

StationIndex FrameBuilder::add_station(Station station) {
  const StationIndex index = StationIndex::of(frame_.stations_.size());
  station.section = SectionIndex::of(frame_.sections_.size() - 1);
  station.at = origin_ + station.at;
  frame_.stations_.push_back(std::move(station));
  return index;
}

JointIndex FrameBuilder::add_joint(const std::string& name, Point at) {
  const JointIndex index = JointIndex::of(frame_.joints_.size());
  const std::string full = full_name(name);
  const StationIndex station = add_station({.name = full, .at = at, .joint = index});
  frame_.station_names_.emplace(full, station);
  frame_.joints_.push_back({.name = full,
                            .at = origin_ + at,
                            .section = SectionIndex::of(frame_.sections_.size() - 1),
                            .station = station});
  frame_.joint_names_.emplace(full, index);
  return index;
}

BarIndex FrameBuilder::add_bar(JointIndex from, JointIndex to, const std::vector<Place>& inside,
                               Millimetres length) {
  const BarIndex index = BarIndex::of(frame_.bars_.size());
  const auto short_name = [this](JointIndex joint) {
    const std::string& full = frame_.joints_[joint.value()].name;
    return names_sections_ ? full.substr(frame_.sections_.back().name.size() + 1) : full;
  };
  Bar bar{.name = full_name(short_name(from) + '-' + short_name(to)),
          .from = from,
          .to = to,
          .section = SectionIndex::of(frame_.sections_.size() - 1),
          .length = length};
  for (const Place& place : inside) {
    const std::string name = place.own_name.empty()
                                 ? bar.name + '/' + std::to_string(bar.inside.size() + 1)
                                 : full_name(place.own_name);
    const StationIndex station = add_station({.name = name, .at = place.at, .bar = index});
    if (!place.own_name.empty()) frame_.station_names_.emplace(name, station);
    bar.inside.push_back(station);
    bar.reach.push_back(place.reach);
  }
  frame_.bar_names_[bar.name].push_back({.bar = index});
  frame_.joints_[from.value()].bars.push_back(index);
  frame_.joints_[to.value()].bars.push_back(index);
  frame_.bars_.push_back(std::move(bar));
  return index;
}

BarIndex FrameBuilder::add_straight_bar(JointIndex from, JointIndex to, int stations) {
  const Point start = frame_.joints_[from.value()].at - origin_;
  const Point way = frame_.joints_[to.value()].at - origin_ - start;
  const Millimetres length = base::distance({}, way);
  std::vector<Place> inside;
  for (int i = 1; i + 1 < stations; ++i) {
    const double share = static_cast<double>(i) / (stations - 1);
    inside.push_back({.at = start + way * share, .reach = length * share, .own_name = {}});
  }
  return add_bar(from, to, inside, length);
}

void FrameBuilder::end_section(const SectionDescription& section, const std::string& pointer,
                               Problems& problems) {
  Section& built = frame_.sections_.back();
  built.end_station = static_cast<std::uint32_t>(frame_.stations_.size());
  built.end_joint = static_cast<std::uint32_t>(frame_.joints_.size());
  built.end_bar = static_cast<std::uint32_t>(frame_.bars_.size());
  name_the_other_way_round();
  mark_empty(section, pointer, problems);
  report_shared_places(pointer + '/' + std::string{shape_name(section.shape)}, problems);
}

/// Behind all bars' own names: on a ring of two joints A-B and B-A are two bars.
void FrameBuilder::name_the_other_way_round() {
  const Section& section = frame_.sections_.back();
  const std::size_t prefix = names_sections_ ? section.name.size() + 1 : 0;
  for (std::uint32_t b = section.first_bar; b < section.end_bar; ++b) {
    const std::string& from = frame_.joints_[frame_.bars_[b].from.value()].name;
    const std::string& to = frame_.joints_[frame_.bars_[b].to.value()].name;
    frame_.bar_names_[to + '-' + from.substr(prefix)].push_back(
        {.bar = BarIndex::of(b), .backwards = true});
  }
}

void FrameBuilder::mark_empty(const SectionDescription& section, const std::string& pointer,
                              Problems& problems) {
  for (std::size_t i = 0; i < section.empty.size(); ++i) {
    const std::string& name = section.empty[i];
    const std::string where = base::element(pointer + "/empty", i);
    const auto index = frame_.find_station(full_name(name));
    if (!index) {
      std::vector<std::string> known;
      const Section& built = frame_.sections_.back();
      for (std::uint32_t s = built.first_station; s < built.end_station; ++s) {
        const std::string& full = frame_.stations_[s].name;
        known.push_back(names_sections_ ? full.substr(built.name.size() + 1) : full);
      }
      const auto near = base::nearest(name, known);
      problems.push_back({.where = where,
                          .what = "no joint or station is named " + base::quoted(name),
                          .remedy = near ? "did you mean " + base::quoted(*near) + "?"
                                         : "a joint such as " + base::quoted(known.front()) +
                                               " or a place in a bar such as " +
                                               base::quoted(known.back())});
      continue;
    }
    Station& station = frame_.stations_[index->value()];
    if (!station.carries_pixel) {
      problems.push_back({.where = where,
                          .what = base::quoted(name) + " is listed twice",
                          .remedy = "once is enough"});
    }
    station.carries_pixel = false;
  }
}

void FrameBuilder::report_shared_places(const std::string& pointer, Problems& problems) const {
  const Section& section = frame_.sections_.back();
  std::vector<std::uint32_t> order;
  for (std::uint32_t s = section.first_station; s < section.end_station; ++s) order.push_back(s);
  const auto at = [this](std::uint32_t s) { return frame_.stations_[s].at; };
  std::sort(order.begin(), order.end(),
            [&at](std::uint32_t a, std::uint32_t b) { return at(a) < at(b); });
  std::vector<std::pair<std::uint32_t, std::uint32_t>> shared;
  for (std::size_t i = 0; i < order.size(); ++i) {
    for (std::size_t j = i + 1; j < order.size(); ++j) {
      if (at(order[j]).x - at(order[i]).x > kSamePlace) break;
      if (base::distance(at(order[i]), at(order[j])) <= kSamePlace) {
        shared.emplace_back(std::min(order[i], order[j]), std::max(order[i], order[j]));
      }
    }
  }
  if (shared.empty()) return;
  const auto first = *std::min_element(shared.begin(), shared.end());
  std::string what = frame_.stations_[first.first].name + " and " +
                     frame_.stations_[first.second].name + " are at the same place";
  if (shared.size() > 1) {
    what += ", and " + std::to_string(shared.size() - 1) +
            (shared.size() == 2 ? " more pair" : " more pairs") + " of stations";
  }
  problems.push_back({.where = pointer, .what = what, .remedy = "each station has its own"});
}

void FrameBuilder::link_neighbours() {
  std::vector<std::pair<StationIndex, Neighbour>> links;
  const auto link = [&links](StationIndex a, StationIndex b, Millimetres along, BarIndex bar) {
    links.push_back({a, {.station = b, .along = along, .bar = bar}});
    links.push_back({b, {.station = a, .along = along, .bar = bar}});
  };
  for (std::size_t b = 0; b < frame_.bars_.size(); ++b) {
    const Bar& bar = frame_.bars_[b];
    StationIndex before = frame_.joints_[bar.from.value()].station;
    Millimetres reached;
    for (std::size_t i = 0; i < bar.inside.size(); ++i) {
      link(before, bar.inside[i], bar.reach[i] - reached, BarIndex::of(b));
      before = bar.inside[i];
      reached = bar.reach[i];
    }
    link(before, frame_.joints_[bar.to.value()].station, bar.length - reached, BarIndex::of(b));
  }
  // By station, and those of one in the order of the bars.
  std::vector<std::uint32_t>& first = frame_.first_neighbour_;
  first.assign(frame_.stations_.size() + 1, 0);
  for (const auto& [station, neighbour] : links) ++first[station.value() + 1];
  std::partial_sum(first.begin(), first.end(), first.begin());
  std::vector<std::uint32_t> next(first.begin(), first.end() - 1);
  frame_.neighbours_.resize(links.size());
  for (const auto& [station, neighbour] : links) {
    frame_.neighbours_[next[station.value()]++] = neighbour;
  }
}

Frame FrameBuilder::finish() {
  link_neighbours();
  frame_.stations_.shrink_to_fit();
  frame_.pixel_count_ = static_cast<std::size_t>(
      std::count_if(frame_.stations_.begin(), frame_.stations_.end(),
                    [](const Station& station) { return station.carries_pixel; }));
  return std::move(frame_);
}

std::string counts_that_fit(int found, int parts, int ends) {
  const int below = (found - ends) / parts * parts + ends;
  const int above = below + parts;
  if (below - ends < parts) return std::to_string(above);
  return std::to_string(below) + " or " + std::to_string(above);
}

}  // namespace panewalk::prop
