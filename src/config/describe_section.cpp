#include "config/describe_section.hpp"

#include <algorithm>

#include "config/amounts.hpp"

namespace panewalk::config {
namespace {

constexpr int kMostStations = 2000;  // of one row; no output drives a longer one
constexpr int kMostPanes = 100;
constexpr std::size_t kMostElements = 20'000;
constexpr std::size_t kLongestPlaceName = 100;

int stations(Object& object) {
  const auto value = object.must("stations", "how many, both ends counted");
  return value ? whole(*value, 2, kMostStations) : 2;
}

base::Point place(Object& object, std::string_view name, const std::string& needed) {
  const auto value = object.must(name, needed + R"(, such as ["0 mm", "30 cm"])");
  return value ? point(*value, kOnProp) : base::Point{};
}

std::vector<int> places_of_bars(Object& object, std::string_view name) {
  std::vector<int> places;
  if (const auto value = object.may(name)) {
    for (const Value& one : list(*value, "a list of whole numbers", 0, kMostElements)) {
      places.push_back(whole(one, 1, kMostStations));
    }
  }
  return places;
}

prop::Spacing spacing(const Value& value, const std::string& needed) {
  prop::Spacing spacing;
  Object object{value, needed};
  spacing.stations = stations(object);
  if (const auto way = object.one_of({"pitch", "gaps", "size"}, "nothing says how far apart")) {
    const auto& [name, amount] = *way;
    if (name == "pitch") {
      spacing.way = prop::Spacing::Pitch{length(amount, kPitch)};
    } else if (name == "size") {
      spacing.way = prop::Spacing::Size{length(amount, kSize)};
    } else {
      prop::Spacing::Gaps gaps;
      for (const Value& gap : list(amount, "a list of lengths", 1, kMostElements)) {
        gaps.between.push_back(length(gap, kPitch));
      }
      spacing.way = std::move(gaps);
    }
  }
  object.finish();
  return spacing;
}

prop::WindowShape window(const Value& value) {
  prop::WindowShape shape;
  Object object{value, "a window, as an object,"};
  const std::string needed = R"({ "stations": 11, "pitch": "90 mm" })";
  if (const auto columns = object.must("columns", "such as " + needed)) {
    shape.columns = spacing(*columns, "an object such as " + needed);
  }
  if (const auto rows = object.must("rows", "such as " + needed)) {
    shape.rows = spacing(*rows, "an object such as " + needed);
  }
  shape.uprights = places_of_bars(object, "uprights");
  shape.levels = places_of_bars(object, "levels");
  if (const auto panes = object.may("panes")) {
    const auto both = list(*panes, "two counts, [side by side, one above the other]", 2, 2);
    if (both.size() == 2) {
      shape.panes = {whole(both[0], 1, kMostPanes), whole(both[1], 1, kMostPanes)};
    }
    for (const char* const other : {"uprights", "levels"}) {
      if (!object.has(other)) continue;
      object.refuse_name(other, base::quoted(other) + " beside \"panes\"",
                         "panes alone, or uprights and levels");
    }
  }
  object.finish();
  return shape;
}

prop::LineShape line(const Value& value) {
  prop::LineShape shape;
  Object object{value, "a line, as an object,"};
  shape.from = place(object, "from", "where the line begins");
  shape.to = place(object, "to", "where the line ends");
  shape.stations = stations(object);
  object.finish();
  return shape;
}

prop::ArcShape arc(const Value& value) {
  prop::ArcShape shape;
  Object object{value, "an arc, as an object,"};
  shape.centre = place(object, "centre", "the middle of its circle");
  if (const auto radius = object.must("radius", R"(a length such as "30 cm")")) {
    shape.radius = length(*radius, kSize);
  }
  if (const auto from = object.must("from", R"(an angle such as "0 deg")")) {
    shape.from = angle(*from);
  }
  if (const auto to = object.must("to", R"(an angle such as "360 deg")")) shape.to = angle(*to);
  shape.stations = stations(object);
  if (const auto joints = object.may("joints")) shape.joints = whole(*joints, 1, kMostStations);
  object.finish();
  return shape;
}

prop::PathShape path(const Value& value) {
  prop::PathShape shape;
  Object object{value, "a path, as an object,"};
  if (const auto corners = object.must("corners", "a list of places")) {
    for (const Value& corner : list(*corners, "a list of places", 2, kMostElements)) {
      shape.corners.push_back(point(corner, kOnProp));
    }
  }
  if (const auto legs = object.must("stations", "one count for each leg, both ends counted")) {
    for (const Value& leg : list(*legs, "a list of counts", 1, kMostElements)) {
      shape.stations.push_back(whole(leg, 2, kMostStations));
    }
  }
  object.finish();
  return shape;
}

std::vector<prop::BarsShape::NamedJoint> named_joints(const Value& value) {
  std::vector<prop::BarsShape::NamedJoint> joints;
  if (value.node->kind != Node::Kind::kObject) {
    value.wrong_type("an object of joints and their places");
    return joints;
  }
  if (value.node->members.size() < 2) {
    value.refuse(value.node->members.empty() ? "no joints" : "a single joint",
                 "a bar has two ends");
  }
  for (const Member& member : value.node->members) {
    const Node name{.kind = Node::Kind::kString, .text = member.name};
    const Value at{&member.value, base::member(value.where, member.name), value.report};
    word({&name, at.where, value.report, true});
    joints.push_back({.name = member.name, .at = point(at, kOnProp)});
  }
  return joints;
}

prop::BarsShape bars(const Value& value) {
  prop::BarsShape shape;
  Object object{value, "bars, as an object,"};
  if (const auto joints = object.must("joints", R"(such as { "A": ["0 mm", "0 mm"], … })")) {
    shape.joints = named_joints(*joints);
  }
  if (const auto all = object.must("bars", "a list of bars")) {
    for (const Value& one : list(*all, "a list of bars", 1, kMostElements)) {
      prop::BarsShape::NamedBar bar;
      Object ends{one, R"(an object such as { "from": "A", "to": "B", "stations": 8 })"};
      if (const auto from = ends.must("from", "the joint where the bar begins")) {
        bar.from = word(*from);
      }
      if (const auto to = ends.must("to", "the joint where the bar ends")) bar.to = word(*to);
      bar.stations = stations(ends);
      ends.finish();
      shape.bars.push_back(std::move(bar));
    }
  }
  object.finish();
  return shape;
}

std::string points(const Value& value) {
  std::string file;
  Object object{value, R"(an object such as { "file": "garland.csv" })"};
  if (const auto named = object.must("file", "the file that lists the points")) {
    file = file_name(*named);
  }
  object.finish();
  return file;
}

}  // namespace

ReadSection read_section(const Value& value) {
  ReadSection read;
  Object object{value, "a section, as an object,"};
  if (const auto named = object.may("name")) read.section.name = word(*named);
  if (const auto at = object.may("at")) read.section.at = point(*at, kOnProp);
  const auto shape = object.one_of({"window", "line", "arc", "path", "bars", "points"},
                                   "a section without a shape");
  if (shape) {
    const auto& [kind, of_shape] = *shape;
    read.needs_a_route = kind != "points";
    if (kind == "window") read.section.shape = window(of_shape);
    if (kind == "line") read.section.shape = line(of_shape);
    if (kind == "arc") read.section.shape = arc(of_shape);
    if (kind == "path") read.section.shape = path(of_shape);
    if (kind == "bars") read.section.shape = bars(of_shape);
    if (kind == "points") {
      read.section.shape = prop::PointsShape{};
      read.points_file = points(of_shape);
    }
  }
  if (const auto empty = object.may("empty")) {
    for (const Value& one : list(*empty, "a list of joints and stations", 0, kMostElements)) {
      read.section.empty.push_back(text(one, 1, kLongestPlaceName, Words::kLine));
    }
  }
  object.finish();
  return read;
}

}  // namespace panewalk::config
