#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "base/quantity.hpp"
#include "base/result.hpp"
#include "prop/description.hpp"

/// What was built: sections of bars between joints, stations along them, seen from the front.
namespace panewalk::prop {

using base::BarIndex;
using base::JointIndex;
using base::SectionIndex;
using base::StationIndex;

enum class ShapeKind { kWindow, kLine, kArc, kRing, kPath, kBars, kPoints };

/// Where a window's uprights and levels stand, as places from 1. Edges included, ascending.
struct WindowGrid {
  int columns = 0, rows = 0;
  std::vector<int> uprights, levels;
  /// joints[level * uprights.size() + upright], both from 0: A1, B1 … A2 …
  std::vector<JointIndex> joints;
  [[nodiscard]] JointIndex joint(std::size_t upright, std::size_t level) const {
    return joints[level * uprights.size() + upright];
  }
};

struct Section {
  std::string name;
  ShapeKind kind = ShapeKind::kLine;
  std::optional<WindowGrid> grid;  ///< windows only
  /// Half-open ranges into the frame's lists: what is this section's.
  std::uint32_t first_station = 0, end_station = 0;
  std::uint32_t first_joint = 0, end_joint = 0;
  std::uint32_t first_bar = 0, end_bar = 0;
};

/// Every joint has a station of its own, with or without a pixel.
struct Joint {
  std::string name;  ///< with the section in front where there are several: "W.A1"
  Point at;
  SectionIndex section;
  StationIndex station;
  std::vector<BarIndex> bars;  ///< that end here; a one-joint ring is listed twice
};

/// Stations `inside` lie in order from `from` to `to`; `reach[i]` is how far along the bar the i-th
/// sits from the joint `from`.
struct Bar {
  std::string name;  ///< "A1-B1", with the section in front where there are several
  JointIndex from, to;
  SectionIndex section;
  std::vector<StationIndex> inside;
  std::vector<Millimetres> reach;
  Millimetres length;
};

struct Station {
  std::string name;  ///< the one name: the joint's, or "A1-B1/3", or "P4"
  Point at;
  SectionIndex section;
  std::optional<JointIndex> joint;
  std::optional<BarIndex> bar;  ///< exactly one of joint and bar is set
  bool carries_pixel = true;    ///< false: listed under "empty"
};

struct Neighbour {
  StationIndex station;
  Millimetres along;  ///< along the bar
  BarIndex bar;
};

/// Immutable once built. Indices given must be of this frame.
class Frame {
 public:
  [[nodiscard]] const std::vector<Section>& sections() const { return sections_; }
  [[nodiscard]] const std::vector<Joint>& joints() const { return joints_; }
  [[nodiscard]] const std::vector<Bar>& bars() const { return bars_; }
  [[nodiscard]] const std::vector<Station>& stations() const { return stations_; }

  [[nodiscard]] const Section& operator[](SectionIndex i) const { return sections_[i.value()]; }
  [[nodiscard]] const Joint& operator[](JointIndex i) const { return joints_[i.value()]; }
  [[nodiscard]] const Bar& operator[](BarIndex i) const { return bars_[i.value()]; }
  [[nodiscard]] const Station& operator[](StationIndex i) const { return stations_[i.value()]; }

  /// Stations next to this one along bars, empty places included.
  [[nodiscard]] std::span<const Neighbour> neighbours(StationIndex i) const {
    const std::size_t first = first_neighbour_[i.value()];
    return std::span{neighbours_}.subspan(first, first_neighbour_[i.value() + 1] - first);
  }
  /// Stations that carry a pixel.
  [[nodiscard]] std::size_t pixel_count() const { return pixel_count_; }
  [[nodiscard]] bool names_sections() const { return sections_.size() > 1; }

  [[nodiscard]] std::optional<JointIndex> find_joint(std::string_view name) const;
  /// Also by a bar's name the other way round: "B1-A1/2" is counted from B1.
  [[nodiscard]] std::optional<StationIndex> find_station(std::string_view name) const;
  /// Bars that end at both joints, in order of the frame.
  [[nodiscard]] std::vector<BarIndex> bars_between(JointIndex a, JointIndex b) const;
  /// Names of joints, for hints.
  [[nodiscard]] std::vector<std::string> joint_names() const;

 private:
  friend class FrameBuilder;
  std::vector<Section> sections_;
  std::vector<Joint> joints_;
  std::vector<Bar> bars_;
  std::vector<Station> stations_;
  std::vector<Neighbour> neighbours_;           // of one station after the other
  std::vector<std::uint32_t> first_neighbour_;  // by station, and the end
  std::size_t pixel_count_ = 0;
  /// A bar, read from its first joint or from its second.
  struct Direction {
    BarIndex bar;
    bool backwards = false;
  };
  // Stations inside bars are found by the bar and their number: a name each, both ways round, would
  // take more memory than all the rest of a frame.
  std::unordered_map<std::string, StationIndex> station_names_;
  std::unordered_map<std::string, std::vector<Direction>> bar_names_;  ///< what comes first, wins
  std::unordered_map<std::string, JointIndex> joint_names_;
};

/// Most stations of one prop; a longer chain than any frame rate can drive.
inline constexpr std::size_t kMostStations = 20'000;

/// All problems, each with its pointer from the top of the prop file ("/sections/0/…").
base::Result<Frame> build(const std::vector<SectionDescription>& sections);

/// Letters of a column or corner: A … Z, AA, AB …; `index` from 0.
std::string letters(std::size_t index);

}  // namespace panewalk::prop
