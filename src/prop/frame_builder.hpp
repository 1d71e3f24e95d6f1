#pragma once

#include <string>
#include <unordered_map>
#include <vector>

#include "prop/frame.hpp"

namespace panewalk::prop {

/// Lays joints, bars and stations of one section after another. The shapes use it; nobody else
/// does.
class FrameBuilder {
 public:
  explicit FrameBuilder(bool names_sections) : names_sections_{names_sections} {}

  void begin_section(const SectionDescription& section, ShapeKind kind);
  /// `at` is from the section's own origin, as are all points given here.
  JointIndex add_joint(const std::string& name, Point at);
  struct Place {
    Point at;
    Millimetres reach;     ///< along the bar from its first joint
    std::string own_name;  ///< empty: named by the bar
  };
  BarIndex add_bar(JointIndex from, JointIndex to, const std::vector<Place>& inside,
                   Millimetres length);
  /// A straight bar of `stations` stations, both joints counted.
  BarIndex add_straight_bar(JointIndex from, JointIndex to, int stations);
  void set_grid(WindowGrid grid) { frame_.sections_.back().grid = std::move(grid); }
  /// `pointer` is the section's; reports unknown and doubled names, and stations on top of another.
  void end_section(const SectionDescription& section, const std::string& pointer,
                   base::Problems& problems);

  [[nodiscard]] std::size_t stations_so_far() const { return frame_.stations_.size(); }
  Frame finish();

 private:
  StationIndex add_station(Station station);
  [[nodiscard]] std::string full_name(const std::string& name) const;
  void mark_empty(const SectionDescription& section, const std::string& pointer,
                  base::Problems& problems);
  void report_shared_places(const std::string& pointer, base::Problems& problems) const;
  void link_neighbours();
  void name_the_other_way_round();

  bool names_sections_;
  Point origin_;
  Frame frame_;
};

/// One function a shape. Each reports every fault of its shape and lays the section only without
/// one. `pointer` is the shape's: "/sections/0/window".
void lay_window(const WindowShape& shape, const std::string& pointer, FrameBuilder& builder,
                base::Problems& problems);
void lay_line(const LineShape& shape, const std::string& pointer, FrameBuilder& builder,
              base::Problems& problems);
void lay_arc(const ArcShape& shape, const std::string& pointer, FrameBuilder& builder,
             base::Problems& problems);
void lay_path(const PathShape& shape, const std::string& pointer, FrameBuilder& builder,
              base::Problems& problems);
void lay_bars(const BarsShape& shape, const std::string& pointer, FrameBuilder& builder,
              base::Problems& problems);
void lay_points(const PointsShape& shape, const std::string& pointer, FrameBuilder& builder,
                base::Problems& problems);

/// Nearer to 360 degrees than binary fractions of a degree can tell.
bool is_full_turn(const ArcShape& arc);

/// Below this two places are one: far less than anyone can drill, far more than rounding.
inline constexpr Millimetres kSamePlace = Millimetres::of(0.01);

/// "11" , or "9 or 11": the counts of stations nearest to `found` that divide evenly.
/// A count fits when (count − ends) is a positive multiple of `parts`.
std::string counts_that_fit(int found, int parts, int ends);

}  // namespace panewalk::prop
