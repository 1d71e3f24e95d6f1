#include "prop/frame.hpp"

#include <algorithm>
#include <charconv>

#include "prop/frame_builder.hpp"

namespace panewalk::prop {
namespace {

using base::Problem;
using base::Problems;

/// Lays the section that its shape describes.
struct Layer {
  const std::string& pointer;
  FrameBuilder& builder;
  Problems& problems;

  void operator()(const WindowShape& shape) { lay_window(shape, pointer, builder, problems); }
  void operator()(const LineShape& shape) { lay_line(shape, pointer, builder, problems); }
  void operator()(const ArcShape& shape) { lay_arc(shape, pointer, builder, problems); }
  void operator()(const PathShape& shape) { lay_path(shape, pointer, builder, problems); }
  void operator()(const BarsShape& shape) { lay_bars(shape, pointer, builder, problems); }
  void operator()(const PointsShape& shape) { lay_points(shape, pointer, builder, problems); }
};

struct KindOf {
  ShapeKind operator()(const WindowShape&) const { return ShapeKind::kWindow; }
  ShapeKind operator()(const LineShape&) const { return ShapeKind::kLine; }
  ShapeKind operator()(const ArcShape& arc) const {
    return is_full_turn(arc) ? ShapeKind::kRing : ShapeKind::kArc;
  }
  ShapeKind operator()(const PathShape&) const { return ShapeKind::kPath; }
  ShapeKind operator()(const BarsShape&) const { return ShapeKind::kBars; }
  ShapeKind operator()(const PointsShape&) const { return ShapeKind::kPoints; }
};

/// A number as names have it: from 1, without a leading zero.
std::optional<std::size_t> number_in(std::string_view digits) {
  std::size_t number = 0;
  const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), number);
  if (error != std::errc{} || end != digits.data() + digits.size() || digits.front() == '0') {
    return std::nullopt;
  }
  return number;
}

void check_names(const std::vector<SectionDescription>& sections, Problems& problems) {
  if (sections.size() < 2) return;
  for (std::size_t i = 0; i < sections.size(); ++i) {
    const std::string pointer = base::element("/sections", i);
    if (sections[i].name.empty()) {
      problems.push_back({.where = pointer,
                          .what = "a section without a name",
                          .remedy = "with several sections each needs one, such as \"W\""});
      continue;
    }
    for (std::size_t j = 0; j < i; ++j) {
      if (sections[j].name == sections[i].name) {
        problems.push_back({.where = pointer + "/name",
                            .what = base::quoted(sections[i].name) + " is the name of section " +
                                    std::to_string(j + 1) + " already",
                            .remedy = "each section has its own"});
        break;
      }
    }
  }
}

}  // namespace

std::string_view shape_name(const Shape& shape) {
  constexpr std::string_view kNames[] = {"window", "line", "arc", "path", "bars", "points"};
  return kNames[shape.index()];
}

base::Result<Frame> build(const std::vector<SectionDescription>& sections) {
  Problems problems;
  if (sections.empty()) {
    problems.push_back(
        {.where = "/sections", .what = "a prop without sections", .remedy = "at least one"});
    return problems;
  }
  check_names(sections, problems);
  FrameBuilder builder{sections.size() > 1};
  for (std::size_t i = 0; i < sections.size(); ++i) {
    const std::string pointer = base::element("/sections", i);
    const std::string shape = base::member(pointer, shape_name(sections[i].shape));
    const std::size_t before = problems.size();
    builder.begin_section(sections[i], std::visit(KindOf{}, sections[i].shape));
    std::visit(Layer{shape, builder, problems}, sections[i].shape);
    if (problems.size() == before) builder.end_section(sections[i], pointer, problems);
  }
  if (problems.empty() && builder.stations_so_far() > kMostStations) {
    problems.push_back({.where = "/sections",
                        .what = std::to_string(builder.stations_so_far()) + " stations",
                        .remedy = "at most " + std::to_string(kMostStations) + " in one prop"});
  }
  if (!problems.empty()) return problems;
  Frame frame = builder.finish();
  if (frame.pixel_count() == 0) {
    return Problems{{.where = "/sections",
                     .what = "every station is listed as empty",
                     .remedy = "at least one carries a pixel"}};
  }
  return frame;
}

std::optional<JointIndex> Frame::find_joint(std::string_view name) const {
  const auto found = joint_names_.find(std::string{name});
  if (found == joint_names_.end()) return std::nullopt;
  return found->second;
}

std::optional<StationIndex> Frame::find_station(std::string_view name) const {
  const auto found = station_names_.find(std::string{name});
  if (found != station_names_.end()) return found->second;
  const std::size_t slash = name.rfind('/');
  if (slash == std::string_view::npos) return std::nullopt;
  const auto number = number_in(name.substr(slash + 1));
  const auto bars = bar_names_.find(std::string{name.substr(0, slash)});
  if (!number || bars == bar_names_.end()) return std::nullopt;
  for (const Direction& way : bars->second) {
    const std::vector<StationIndex>& inside = bars_[way.bar.value()].inside;
    if (*number <= inside.size()) {
      return inside[way.backwards ? inside.size() - *number : *number - 1];
    }
  }
  return std::nullopt;
}

std::vector<BarIndex> Frame::bars_between(JointIndex a, JointIndex b) const {
  std::vector<BarIndex> between;
  for (const BarIndex index : joints_[a.value()].bars) {
    const Bar& bar = bars_[index.value()];
    const bool joins = (bar.from == a && bar.to == b) || (bar.from == b && bar.to == a);
    if (joins && (between.empty() || between.back() != index)) between.push_back(index);
  }
  return between;
}

std::vector<std::string> Frame::joint_names() const {
  std::vector<std::string> names;
  names.reserve(joints_.size());
  for (const Joint& joint : joints_) names.push_back(joint.name);
  return names;
}

std::string letters(std::size_t index) {
  std::string text;
  for (std::size_t rest = index + 1; rest > 0; rest = (rest - 1) / 26) {
    text.insert(text.begin(), static_cast<char>('A' + (rest - 1) % 26));
  }
  return text;
}

}  // namespace panewalk::prop
