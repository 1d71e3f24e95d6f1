#include "prop/place_words.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace panewalk::prop {
namespace {

/// The name without its section.
std::string own_name(const Frame& frame, const Section& section, const Joint& joint) {
  return frame.names_sections() ? joint.name.substr(section.name.size() + 1) : joint.name;
}

/// How far inside its bar a station lies, from 0.
std::size_t place_inside(const Bar& bar, StationIndex station) {
  return static_cast<std::size_t>(std::lower_bound(bar.inside.begin(), bar.inside.end(), station) -
                                  bar.inside.begin());
}

/// One bar of several that are alike: `which` of `count`, from 0.
std::string one_of(const char* bar, std::size_t which, std::size_t count, const char* counted) {
  if (count == 1) return bar;
  if (count % 2 == 1 && which == count / 2) return std::string{"middle "} + bar;
  return ordinal(which + 1) + ' ' + bar + ' ' + counted;
}

/// A window in joiner's words. Uprights are numbered from the left as they are seen.
class WindowWords {
 public:
  WindowWords(const Frame& frame, const Section& section, Side side)
      : frame_{frame},
        section_{section},
        uprights_{section.grid->uprights.size()},
        levels_{section.grid->levels.size()},
        back_{side == Side::kBack} {}

  [[nodiscard]] std::string of(const Station& station, StationIndex index) const {
    if (station.joint) return at_joint(crossing(*station.joint));
    const Bar& bar = frame_[*station.bar];
    const Crossing from = crossing(bar.from);
    const Crossing to = crossing(bar.to);
    const std::size_t place = place_inside(bar, index) + 1;  // from `from`, which counts as 0
    const std::size_t rest = bar.inside.size() + 1 - place;
    if (from.upright == to.upright) {
      return upright(from.upright) + ", " +
             (place <= rest ? ordinal(place) + " below the " + end_of_upright(from)
                            : ordinal(rest) + " above the " + end_of_upright(to));
    }
    const bool from_is_left = from.upright < to.upright;
    const std::size_t right_of = from_is_left ? place : rest;
    const std::size_t left_of = from_is_left ? rest : place;
    const Crossing left = from_is_left ? from : to;
    const Crossing right = from_is_left ? to : from;
    return level(from.level) + ", " +
           (right_of <= left_of ? ordinal(right_of) + " right of the " + end_of_level(left)
                                : ordinal(left_of) + " left of the " + end_of_level(right));
  }

 private:
  struct Crossing {
    std::size_t upright, level;
  };

  [[nodiscard]] Crossing crossing(JointIndex joint) const {
    const std::size_t number = joint.value() - section_.first_joint;
    const std::size_t built = number % uprights_;
    return {back_ ? uprights_ - 1 - built : built, number / uprights_};
  }
  [[nodiscard]] bool is_stile(std::size_t upright) const {
    return upright == 0 || upright + 1 == uprights_;
  }
  [[nodiscard]] bool is_rail(std::size_t level) const { return level == 0 || level + 1 == levels_; }
  [[nodiscard]] std::string upright(std::size_t number) const {
    if (number == 0) return "left stile";
    if (number + 1 == uprights_) return "right stile";
    return one_of("mullion", number - 1, uprights_ - 2, "from the left");
  }
  [[nodiscard]] std::string level(std::size_t number) const {
    if (number == 0) return "top rail";
    if (number + 1 == levels_) return "bottom rail";
    return one_of("crossbar", number - 1, levels_ - 2, "from the top");
  }
  [[nodiscard]] std::string at_joint(Crossing at) const {
    const bool stile = is_stile(at.upright);
    const bool rail = is_rail(at.level);
    if (stile && rail) {
      return std::string{at.level == 0 ? "top " : "bottom "} +
             (at.upright == 0 ? "left corner" : "right corner");
    }
    return "where the " + upright(at.upright) + (stile || rail ? " meets the " : " crosses the ") +
           level(at.level);
  }
  [[nodiscard]] std::string end_of_upright(Crossing at) const {
    if (!is_stile(at.upright) || !is_rail(at.level)) return level(at.level);
    return at.level == 0 ? "top corner" : "bottom corner";
  }
  [[nodiscard]] std::string end_of_level(Crossing at) const {
    if (!is_rail(at.level) || !is_stile(at.upright)) return upright(at.upright);
    return at.upright == 0 ? "left corner" : "right corner";
  }

  const Frame& frame_;
  const Section& section_;
  std::size_t uprights_, levels_;
  bool back_;
};

/// Lines, arcs and rings: stations in one row, as many between any two joints.
struct Row {
  std::size_t each = 0;   ///< pitches from joint to joint
  std::size_t place = 0;  ///< of the station, from 0 at the first joint
  std::size_t count = 0;
};

Row row_of(const Frame& frame, const Section& section, StationIndex index) {
  const Station& station = frame[index];
  Row row;
  row.each = frame.bars()[section.first_bar].inside.size() + 1;
  row.count = section.end_station - section.first_station;
  row.place = station.joint ? (station.joint->value() - section.first_joint) * row.each
                            : (station.bar->value() - section.first_bar) * row.each +
                                  place_inside(frame[*station.bar], index) + 1;
  return row;
}

std::string along_ends(const Frame& frame, const Section& section, StationIndex index, Side side) {
  const Point first = frame.joints()[section.first_joint].at;
  const Point last = frame.joints()[section.end_joint - 1].at;
  const double across = (last.x - first.x).value() * (side == Side::kBack ? -1 : 1);
  const double down = (last.y - first.y).value();
  const bool level = std::abs(across) >= std::abs(down);
  const bool begins_there = level ? across > 0 : down > 0;  // at the left or top end
  const Row row = row_of(frame, section, index);
  const std::size_t last_place = row.count - 1;
  const std::size_t from_start = begins_there ? row.place : last_place - row.place;
  const std::size_t from_end = last_place - from_start;
  const std::string start = level ? "left end" : "top end";
  const std::string end = level ? "right end" : "bottom end";
  if (from_start == 0) return start;
  if (from_end == 0) return end;
  return from_start <= from_end ? ordinal(from_start) + " after the " + start
                                : ordinal(from_end) + " after the " + end;
}

/// Hours after 12, below 12, of each place of a ring on the clock's face.
double hour_of(const Frame& frame, const Section& section, const Row& row, Side side) {
  const auto at = [&](std::size_t place) {
    const std::size_t bar = place / row.each;
    if (place % row.each == 0) return frame.joints()[section.first_joint + bar].at;
    return frame[frame.bars()[section.first_bar + bar].inside[place % row.each - 1]].at;
  };
  // The place's own direction from the centre: a third of the ring before and after it make a
  // triangle whose shape is good for the circle through them.
  const Point here = at(row.place);
  Point centre = (at(0) + at(row.count / 2)) * 0.5;
  if (row.count > 2) {
    const Point b = at((row.place + row.count / 3) % row.count) - here;
    const Point c = at((row.place + row.count - row.count / 3) % row.count) - here;
    const double bx = b.x.value();
    const double by = b.y.value();
    const double cx = c.x.value();
    const double cy = c.y.value();
    const double d = 2 * (bx * cy - by * cx);
    const double bb = bx * bx + by * by;
    const double cc = cx * cx + cy * cy;
    centre = here + Point{Millimetres::of((cy * bb - by * cc) / d),
                          Millimetres::of((bx * cc - cx * bb) / d)};
  }
  const Point out = here - centre;
  const double x = out.x.value() * (side == Side::kBack ? -1 : 1);
  const double turn = std::atan2(x, -out.y.value()) / (2 * std::numbers::pi);  // y is down
  return (turn < 0 ? turn + 1 : turn) * 12;
}

std::string clock_name(std::size_t hour) { return std::to_string(hour == 0 ? 12 : hour); }

std::string around_clock(const Frame& frame, const Section& section, StationIndex index,
                         Side side) {
  const Row row = row_of(frame, section, index);
  if (row.count == 1) return "ring, its only place";
  const double hour = hour_of(frame, section, row, side);
  constexpr double kExact = 1e-6;  // hours; the closest places are 6e-4 apart
  const double nearest = std::round(hour);
  if (std::abs(hour - nearest) < kExact) {
    return "ring, at " + clock_name(static_cast<std::size_t>(nearest) % 12) + " o'clock";
  }
  // The places are even, so that those between this one and the full hours need no search.
  const double pitch = 12.0 / static_cast<double>(row.count);
  const auto before = static_cast<std::size_t>(std::floor(hour));
  const std::size_t after = (before + 1) % 12;
  const double since = hour - std::floor(hour);
  const auto count = [pitch](double way) {
    return static_cast<std::size_t>(std::ceil((way - kExact) / pitch));
  };
  const std::size_t from_before = count(since);
  const std::size_t from_after = count(1 - since);
  if (from_before == 1 && from_after == 1) {
    return "ring, between " + clock_name(before) + " and " + clock_name(after) + " o'clock";
  }
  return from_before <= from_after
             ? "ring, " + ordinal(from_before) + " after " + clock_name(before) + " o'clock"
             : "ring, " + ordinal(from_after) + " before " + clock_name(after) + " o'clock";
}

std::string along_path(const Frame& frame, const Section& section, StationIndex index) {
  const Station& station = frame[index];
  const std::size_t legs = section.end_bar - section.first_bar;
  const std::size_t joints = section.end_joint - section.first_joint;
  const auto corner = [&](std::size_t number) {
    const bool open_end = joints > legs && (number == 0 || number + 1 == joints);
    return (open_end ? "end " : "corner ") +
           own_name(frame, section, frame.joints()[section.first_joint + number]);
  };
  if (station.joint) return corner(station.joint->value() - section.first_joint);
  const Bar& bar = frame[*station.bar];
  const std::size_t leg = station.bar->value() - section.first_bar;
  const std::size_t inside = place_inside(bar, index) + 1;
  // The bar that closes a path is named by its letters, against the way of the path.
  const bool against = bar.from.value() - section.first_joint != leg;
  const std::size_t place = against ? bar.inside.size() + 1 - inside : inside;
  const std::size_t rest = bar.inside.size() + 1 - place;
  return ordinal(leg + 1) + " leg, " +
         (place <= rest ? ordinal(place) + " after " + corner(leg)
                        : ordinal(rest) + " before " + corner((leg + 1) % joints));
}

std::string between_joints(const Frame& frame, const Section& section, StationIndex index) {
  const Station& station = frame[index];
  if (station.joint) return "at " + own_name(frame, section, frame[*station.joint]);
  const Bar& bar = frame[*station.bar];
  const std::string from = own_name(frame, section, frame[bar.from]);
  const std::string to = own_name(frame, section, frame[bar.to]);
  const std::size_t place = place_inside(bar, index) + 1;
  const std::size_t rest = bar.inside.size() + 1 - place;
  return "between " + from + " and " + to + ", " +
         (place <= rest ? ordinal(place) + " after " + from : ordinal(rest) + " after " + to);
}

std::string in_wiring_order(const Frame& frame, const Section& section, StationIndex index) {
  const Station& station = frame[index];
  std::size_t place = 1;
  if (station.bar) {
    place = place_inside(frame[*station.bar], index) + 2;
  } else if (station.joint->value() != section.first_joint) {
    place = section.end_station - section.first_station;
  }
  return "place " + std::to_string(place) + " in wiring order";
}

std::string in_section(const Frame& frame, const Section& section, StationIndex index, Side side) {
  switch (section.kind) {
    case ShapeKind::kWindow: return WindowWords{frame, section, side}.of(frame[index], index);
    case ShapeKind::kLine:
    case ShapeKind::kArc: return along_ends(frame, section, index, side);
    case ShapeKind::kRing: return around_clock(frame, section, index, side);
    case ShapeKind::kPath: return along_path(frame, section, index);
    case ShapeKind::kBars: return between_joints(frame, section, index);
    case ShapeKind::kPoints: return in_wiring_order(frame, section, index);
  }
  return frame[index].name;
}

}  // namespace

std::string ordinal(std::size_t number) {
  constexpr std::array kSpelled{"first",   "second", "third", "fourth", "fifth",    "sixth",
                                "seventh", "eighth", "ninth", "tenth",  "eleventh", "twelfth"};
  if (number >= 1 && number <= kSpelled.size()) return kSpelled[number - 1];
  const std::size_t last = number % 10;
  const bool teen = number / 10 % 10 == 1;
  const char* ending = teen ? "th" : last == 1 ? "st" : last == 2 ? "nd" : last == 3 ? "rd" : "th";
  return std::to_string(number) + ending;
}

std::string place_in_words(const Frame& frame, StationIndex station, Side side) {
  const Section& section = frame[frame[station].section];
  const std::string words = in_section(frame, section, station, side);
  return frame.names_sections() ? section.name + ": " + words : words;
}

}  // namespace panewalk::prop
