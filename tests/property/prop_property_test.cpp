#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <cmath>
#include <map>
#include <numeric>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "prop/frame.hpp"
#include "prop/place_words.hpp"
#include "prop/ways.hpp"
#include "support/frames.hpp"

namespace panewalk::prop {
namespace {

using base::Point;
using test::at;
using test::mm;

/// One direction of a random window: whole millimetres, so that sums are exact in binary.
struct Spread {
  std::vector<double> gaps;
  std::vector<int> bars;  ///< places from 1 between the edges
  [[nodiscard]] int stations() const { return static_cast<int>(gaps.size()) + 1; }
};

Spread any_side() {
  Spread side;
  for (int i = *rc::gen::inRange(1, 15); i > 0; --i)
    side.gaps.push_back(*rc::gen::inRange(20, 200));
  for (int place = 2; place < side.stations(); ++place) {
    if (*rc::gen::inRange(0, 4) == 0) side.bars.push_back(place);
  }
  return side;
}

WindowShape shape_of(const Spread& across, const Spread& down) {
  return test::window(test::gaps(across.stations(), across.gaps),
                      test::gaps(down.stations(), down.gaps), across.bars, down.bars);
}

Spread mirrored(const Spread& side) {
  Spread other;
  other.gaps.assign(side.gaps.rbegin(), side.gaps.rend());
  for (auto place = side.bars.rbegin(); place != side.bars.rend(); ++place) {
    other.bars.push_back(side.stations() + 1 - *place);
  }
  return other;
}

std::vector<std::pair<double, double>> places(const Frame& frame) {
  std::vector<std::pair<double, double>> all;
  for (const Station& station : frame.stations()) {
    all.emplace_back(station.at.x.value(), station.at.y.value());
  }
  std::sort(all.begin(), all.end());
  return all;
}

// Corner sharing, N = V + Σ(s − 1), with V and the bars counted from the numbers of panes: m
// columns of panes and n rows have (m + 1)(n + 1) joints, m (n + 1) bars across and n (m + 1) down.
RC_GTEST_PROP(Window, HasAStationForEachJointAndOneLessThanThePitchesForEachBar, ()) {
  const Spread across = any_side();
  const Spread down = any_side();
  const Frame frame = test::frame_of(shape_of(across, down));
  const std::size_t m = across.bars.size() + 1;
  const std::size_t n = down.bars.size() + 1;
  // The pitches of one line of bars add up to its gaps; each bar has one place less than pitches.
  const std::size_t in_levels = (n + 1) * (across.gaps.size() - m);
  const std::size_t in_uprights = (m + 1) * (down.gaps.size() - n);
  RC_ASSERT(frame.joints().size() == (m + 1) * (n + 1));
  RC_ASSERT(frame.bars().size() == m * (n + 1) + n * (m + 1));
  RC_ASSERT(frame.stations().size() == (m + 1) * (n + 1) + in_levels + in_uprights);
  RC_ASSERT(frame.pixel_count() == frame.stations().size());
}

RC_GTEST_PROP(Window, MirroredLeftToRightIsMirroredInEveryPlace, ()) {
  const Spread across = any_side();
  const Spread down = any_side();
  const Frame frame = test::frame_of(shape_of(across, down));
  const Frame other = test::frame_of(shape_of(mirrored(across), down));
  double width = 0;
  for (const double gap : across.gaps) width += gap;
  auto expected = places(frame);
  for (auto& place : expected) place.first = width - place.first;
  std::sort(expected.begin(), expected.end());
  RC_ASSERT(places(other) == expected);
  const Frame again = test::frame_of(shape_of(mirrored(mirrored(across)), down));
  RC_ASSERT(again.stations().size() == frame.stations().size());
  for (std::size_t i = 0; i < frame.stations().size(); ++i) {
    RC_ASSERT(again.stations()[i].at == frame.stations()[i].at);
    RC_ASSERT(again.stations()[i].name == frame.stations()[i].name);
  }
}

RC_GTEST_PROP(Window, FindsEveryStationByItsNameAndFromTheOtherEnd, ()) {
  const Frame frame = test::frame_of(shape_of(any_side(), any_side()));
  for (std::size_t i = 0; i < frame.stations().size(); ++i) {
    RC_ASSERT(frame.find_station(frame.stations()[i].name) == StationIndex::of(i));
  }
  for (const Bar& bar : frame.bars()) {
    const std::string backwards = frame[bar.to].name + '-' + frame[bar.from].name + '/';
    for (std::size_t i = 0; i < bar.inside.size(); ++i) {
      const auto found = frame.find_station(backwards + std::to_string(bar.inside.size() - i));
      RC_ASSERT(found == bar.inside[i]);
    }
  }
}

/// A random tree of bars on a coarse grid, with some bars more: always joined, often with loops.
BarsShape any_bars() {
  BarsShape shape;
  std::map<std::pair<int, int>, int> used;
  const int joints = *rc::gen::inRange(2, 9);
  for (int i = 0; i < joints; ++i) {
    // A column each, so that no two joints share a place; 97 and 61 keep bars off each other's
    // places.
    const int y = *rc::gen::inRange(0, 20);
    shape.joints.push_back({"J" + std::to_string(i), at(97.0 * i + 0.37 * y, 61.0 * y + 0.11 * i)});
  }
  const auto join = [&shape, &used](int a, int b) {
    if (a == b || !used.emplace(std::minmax(a, b), 0).second) return;
    shape.bars.push_back(
        {"J" + std::to_string(a), "J" + std::to_string(b), *rc::gen::inRange(2, 7)});
  };
  for (int i = 1; i < joints; ++i) join(i, *rc::gen::inRange(0, i));
  for (int i = *rc::gen::inRange(0, 6); i > 0; --i) {
    join(*rc::gen::inRange(0, joints), *rc::gen::inRange(0, joints));
  }
  return shape;
}

using Graph =
    boost::adjacency_list<boost::vecS, boost::vecS, boost::undirectedS, boost::no_property,
                          boost::property<boost::edge_weight_t, double>>;

/// Straight bars only: neighbours are as far apart as their places.
Graph graph_of(const Frame& frame) {
  Graph graph(frame.stations().size());
  const auto link = [&](StationIndex a, StationIndex b) {
    const Point p = frame[a].at;
    const Point q = frame[b].at;
    boost::add_edge(a.value(), b.value(),
                    std::hypot(p.x.value() - q.x.value(), p.y.value() - q.y.value()), graph);
  };
  for (const Bar& bar : frame.bars()) {
    StationIndex before = frame[bar.from].station;
    for (const StationIndex inside : bar.inside) {
      link(before, inside);
      before = inside;
    }
    link(before, frame[bar.to].station);
  }
  return graph;
}

std::vector<double> boost_ways(const Graph& graph, std::size_t from) {
  std::vector<double> ways(boost::num_vertices(graph));
  boost::dijkstra_shortest_paths(graph, boost::vertex(from, graph),
                                 boost::distance_map(boost::make_iterator_property_map(
                                     ways.begin(), boost::get(boost::vertex_index, graph))));
  return ways;
}

std::vector<SectionDescription> any_frame() {
  if (*rc::gen::arbitrary<bool>()) return {test::section(shape_of(any_side(), any_side()))};
  return {test::section(any_bars())};
}

constexpr double kRounding = 1e-6;  // mm

RC_GTEST_PROP(ShortestWay, IsTheOneThatBoostGraphFinds, ()) {
  const auto built = build(any_frame());
  RC_PRE(built.ok());  // random bars may cross at a station
  const Frame& frame = built.value();
  const Graph graph = graph_of(frame);
  for (int i = 0; i < 5; ++i) {
    const auto from = *rc::gen::inRange<std::size_t>(0, frame.stations().size());
    const auto expected = boost_ways(graph, from);
    for (std::size_t to = 0; to < frame.stations().size(); to += 3) {
      const double found =
          shortest_way(frame, StationIndex::of(from), StationIndex::of(to)).value();
      RC_ASSERT(std::abs(found - expected[to]) < kRounding);
    }
  }
}

RC_GTEST_PROP(ShortestWay, IsTheSameBothWaysAndNeverLongerThanByAThirdPlace, ()) {
  const auto built = build(any_frame());
  RC_PRE(built.ok());
  const Frame& frame = built.value();
  const auto any = [&frame] {
    return StationIndex::of(*rc::gen::inRange<std::size_t>(0, frame.stations().size()));
  };
  for (int i = 0; i < 10; ++i) {
    const StationIndex a = any();
    const StationIndex b = any();
    const StationIndex c = any();
    const double ab = shortest_way(frame, a, b).value();
    RC_ASSERT(std::abs(ab - shortest_way(frame, b, a).value()) < kRounding);
    RC_ASSERT(ab <=
              shortest_way(frame, a, c).value() + shortest_way(frame, c, b).value() + kRounding);
    RC_ASSERT(ab + kRounding >= base::distance(frame[a].at, frame[b].at).value());
    RC_ASSERT((a == b) == (ab == 0));
  }
}

// Two lines that no bar joins: the wire goes by the ends that are closest to each other.
RC_GTEST_PROP(ShortestWay, CrossesAGapByTheClosestEnds, ()) {
  const double left = *rc::gen::inRange(100, 900);
  const double gap = *rc::gen::inRange(10, 90);
  const double right = *rc::gen::inRange(100, 900);
  const int m = *rc::gen::inRange(2, 12);
  const int n = *rc::gen::inRange(2, 12);
  const Frame frame =
      test::frame_of({test::named("L", at(0, 0), LineShape{at(0, 0), at(left, 0), m}),
                      test::named("R", at(left + gap, 0), LineShape{at(0, 0), at(0, right), n})});
  const int i = *rc::gen::inRange(0, m);  // places from the far end of L
  const int j = *rc::gen::inRange(0, n);  // places from the near end of R
  const auto name = [](const char* line, int place, int stations) {
    if (place == 0) return std::string{line} + ".A";
    if (place == stations - 1) return std::string{line} + ".B";
    return std::string{line} + ".A-B/" + std::to_string(place);
  };
  const double expected = left * (m - 1 - i) / (m - 1) + gap + right * j / (n - 1);
  const double found = shortest_way(frame, frame.find_station(name("L", i, m)).value(),
                                    frame.find_station(name("R", j, n)).value())
                           .value();
  RC_ASSERT(std::abs(found - expected) < kRounding);
}

double length_of(const std::vector<Point>& path) {
  double length = 0;
  for (std::size_t i = 1; i < path.size(); ++i) {
    length += std::hypot(path[i].x.value() - path[i - 1].x.value(),
                         path[i].y.value() - path[i - 1].y.value());
  }
  return length;
}

/// One prop of straight bars, or two of them side by side that no bar joins.
std::vector<SectionDescription> any_sections() {
  std::vector<SectionDescription> sections = any_frame();
  if (*rc::gen::arbitrary<bool>()) {
    sections.front().name = "L";
    sections.push_back(any_frame().front());
    sections.back().name = "R";
    sections.back().at = at(4000, *rc::gen::inRange(-500, 500));
  }
  return sections;
}

RC_GTEST_PROP(ShortestPath, IsAsLongAsTheShortestWayAndEndsWhereItShould, ()) {
  const auto built = build(any_sections());
  RC_PRE(built.ok());
  const Frame& frame = built.value();
  for (int i = 0; i < 10; ++i) {
    const auto from = StationIndex::of(*rc::gen::inRange<std::size_t>(0, frame.stations().size()));
    const auto to = StationIndex::of(*rc::gen::inRange<std::size_t>(0, frame.stations().size()));
    const std::vector<Point> path = shortest_path(frame, from, to);
    RC_ASSERT(path.front() == frame[from].at);
    RC_ASSERT(path.back() == frame[to].at);
    RC_ASSERT((path.size() == 1) == (from == to));
    RC_ASSERT(std::abs(length_of(path) - shortest_way(frame, from, to).value()) < kRounding);
  }
}

// Straight across only once, and only where no bar joins the two ends.
RC_GTEST_PROP(ShortestPath, GoesFromNeighbourToNeighbourButForOneGap, ()) {
  const auto built = build(any_sections());
  RC_PRE(built.ok());
  const Frame& frame = built.value();
  std::map<Point, StationIndex> station_at;
  for (std::size_t i = 0; i < frame.stations().size(); ++i) {
    station_at[frame.stations()[i].at] = StationIndex::of(i);
  }
  const auto from = StationIndex::of(*rc::gen::inRange<std::size_t>(0, frame.stations().size()));
  const auto to = StationIndex::of(*rc::gen::inRange<std::size_t>(0, frame.stations().size()));
  const std::vector<Point> path = shortest_path(frame, from, to);
  int gaps = 0;
  for (std::size_t i = 1; i < path.size(); ++i) {
    const auto& near = frame.neighbours(station_at.at(path[i - 1]));
    const StationIndex next = station_at.at(path[i]);
    if (std::none_of(near.begin(), near.end(),
                     [next](const Neighbour& neighbour) { return neighbour.station == next; })) {
      ++gaps;
    }
  }
  RC_ASSERT(gaps == (frame[from].section == frame[to].section ? 0 : 1));
}

SectionDescription any_shape(const std::string& name, double x) {
  SectionDescription section = test::named(name, at(x, 0), LineShape{});
  const auto far = [] { return mm(*rc::gen::inRange(-900, 900)); };
  switch (*rc::gen::inRange(0, 6)) {
    case 0: section.shape = shape_of(any_side(), any_side()); break;
    case 1: section.shape = any_bars(); break;
    case 2: section.shape = LineShape{{}, {far(), far()}, *rc::gen::inRange(2, 60)}; break;
    case 3: {
      const int joints = *rc::gen::inRange(1, 6);
      const double from = *rc::gen::inRange(-360, 360);
      section.shape = ArcShape{{far(), far()},
                               mm(*rc::gen::inRange(50, 900)),
                               test::deg(from),
                               test::deg(*rc::gen::arbitrary<bool>() ? from + 360 : from - 360),
                               joints * *rc::gen::inRange(1, 40),
                               joints};
      break;
    }
    case 4: {
      const int pieces = *rc::gen::inRange(1, 5);
      section.shape = ArcShape{{far(), far()},
                               mm(*rc::gen::inRange(50, 900)),
                               test::deg(*rc::gen::inRange(-180, 180)),
                               test::deg(*rc::gen::inRange(181, 400)),
                               pieces * *rc::gen::inRange(1, 20) + 1,
                               pieces + 1};
      break;
    }
    default: {
      PathShape path{{at(0, 0)}, {}};
      for (int i = *rc::gen::inRange(1, 5); i > 0; --i) {
        path.corners.push_back({path.corners.back().x + mm(90), far()});
        path.stations.push_back(*rc::gen::inRange(2, 30));
      }
      if (path.stations.size() > 1 && *rc::gen::arbitrary<bool>()) {
        path.corners.push_back(path.corners.front());
        path.stations.push_back(*rc::gen::inRange(2, 30));
      }
      section.shape = path;
    }
  }
  return section;
}

RC_GTEST_PROP(PlaceWords, AreNeverTheSameForTwoStations, ()) {
  std::vector<SectionDescription> sections{any_shape("L", 0)};
  if (*rc::gen::arbitrary<bool>()) sections.push_back(any_shape("R", 5000));
  const auto built = build(sections);
  RC_PRE(built.ok());
  const Frame& frame = built.value();
  for (const Side side : {Side::kFront, Side::kBack}) {
    std::set<std::string> words;
    for (std::size_t i = 0; i < frame.stations().size(); ++i) {
      RC_ASSERT(words.insert(place_in_words(frame, StationIndex::of(i), side)).second);
    }
  }
}

// What is said of a window from the back is what is said from the front of the mirrored one.
RC_GTEST_PROP(PlaceWords, FromTheBackAreThoseOfTheMirroredWindow, ()) {
  const Spread across = any_side();
  const Spread down = any_side();
  const Frame frame = test::frame_of(shape_of(across, down));
  const Frame mirror = test::frame_of(shape_of(mirrored(across), down));
  const double width = std::accumulate(across.gaps.begin(), across.gaps.end(), 0.0);
  std::map<Point, std::string> in_mirror;
  for (std::size_t i = 0; i < mirror.stations().size(); ++i) {
    in_mirror[mirror.stations()[i].at] = place_in_words(mirror, StationIndex::of(i), Side::kFront);
  }
  for (std::size_t i = 0; i < frame.stations().size(); ++i) {
    const Point place = frame.stations()[i].at;
    RC_ASSERT(in_mirror.at({mm(width) - place.x, place.y}) ==
              place_in_words(frame, StationIndex::of(i), Side::kBack));
  }
}

}  // namespace
}  // namespace panewalk::prop
