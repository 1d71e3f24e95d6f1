#pragma once

#include <array>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/quantity.hpp"

/// What a person wrote about the shape of a prop, checked for form, not yet for meaning.
/// The member names are those of the file, so that a problem's pointer follows from the place here.
namespace panewalk::prop {

using base::Degrees;
using base::Millimetres;
using base::Point;

/// How the places of one direction of a window lie. `stations` counts both edges, at least 2.
struct Spacing {
  int stations = 0;
  /// One of the three, as written: the same gap between all, each gap, or the distance edge to
  /// edge.
  struct Pitch {
    Millimetres each;
    bool operator==(const Pitch&) const = default;
  };
  struct Gaps {
    std::vector<Millimetres> between;
    bool operator==(const Gaps&) const = default;
  };
  struct Size {
    Millimetres edge_to_edge;
    bool operator==(const Size&) const = default;
  };
  std::variant<Pitch, Gaps, Size> way;
  bool operator==(const Spacing&) const = default;
};

struct WindowShape {
  Spacing columns, rows;
  std::vector<int> uprights;  ///< columns, from 1, that hold an upright between the edges
  std::vector<int> levels;    ///< rows, from 1, that hold a level between the edges
  std::optional<std::array<int, 2>>
      panes;  ///< instead: panes side by side, and one above the other
  bool operator==(const WindowShape&) const = default;
};

struct LineShape {
  Point from, to;
  int stations = 0;
  bool operator==(const LineShape&) const = default;
};

struct ArcShape {
  Point centre;
  Millimetres radius;
  Degrees from, to;  ///< a difference of 360 is a ring
  int stations = 0;
  std::optional<int> joints;  ///< default: 2 (the ends), on a ring 1
  bool operator==(const ArcShape&) const = default;
};

struct PathShape {
  std::vector<Point> corners;  ///< the last equal to the first closes the path
  std::vector<int> stations;   ///< one a leg, both ends counted
  bool operator==(const PathShape&) const = default;
};

struct BarsShape {
  struct NamedJoint {
    std::string name;
    Point at;
    bool operator==(const NamedJoint&) const = default;
  };
  struct NamedBar {
    std::string from, to;
    int stations = 0;  ///< both joints counted
    bool operator==(const NamedBar&) const = default;
  };
  std::vector<NamedJoint> joints;
  std::vector<NamedBar> bars;
  bool operator==(const BarsShape&) const = default;
};

/// Already read from the file that the prop names.
struct PointsShape {
  std::vector<Point> points;
  bool operator==(const PointsShape&) const = default;
};

using Shape = std::variant<WindowShape, LineShape, ArcShape, PathShape, BarsShape, PointsShape>;

struct SectionDescription {
  std::string name;  ///< may be empty where there is one section
  Point at;
  Shape shape;
  std::vector<std::string> empty;  ///< joints and stations without a pixel, without section prefix
  bool operator==(const SectionDescription&) const = default;
};

/// The member of a section that holds the shape: "window", "line" …
std::string_view shape_name(const Shape& shape);

/// Pipe, for the cut list. Defaults: half-inch Schedule 40 (ASTM D1785: outside 21.34 mm), fitting
/// take-off 12.7 mm (measure yours), stock 10 ft, hand-saw kerf 0.8 mm (common practice, no
/// source).
struct PipeDescription {
  Millimetres outside = Millimetres::of(21.34);
  Millimetres take_off = Millimetres::of(12.7);
  Millimetres stock = Millimetres::of(3048);
  Millimetres kerf = Millimetres::of(0.8);
  bool operator==(const PipeDescription&) const = default;
};

}  // namespace panewalk::prop
