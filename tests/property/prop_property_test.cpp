#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <boost/graph/adjacency_list.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <cmath>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "prop/frame.hpp"
#include "prop/ways.hpp"
#include "support/frames.hpp"

namespace panewalk::prop {
namespace {

using base::Point;
using test::at;
using test::mm;

/// One direction of a random window: whole millimetres, so that sums are exact in binary.
struct Side {
  std::vector<double> gaps;
  std::vector<int> bars;  ///< places from 1 between the edges
  [[nodiscard]] int stations() const { return static_cast<int>(gaps.size()) + 1; }
};

Side any_side() {
  Side side;
  for (int i = *rc::gen::inRange(1, 15); i > 0; --i)
    side.gaps.push_back(*rc::gen::inRange(20, 200));
  for (int place = 2; place < side.stations(); ++place) {
    if (*rc::gen::inRange(0, 4) == 0) side.bars.push_back(place);
  }
  return side;
}

WindowShape shape_of(const Side& across, const Side& down) {
  return test::window(test::gaps(across.stations(), across.gaps),
                      test::gaps(down.stations(), down.gaps), across.bars, down.bars);
}

Side mirrored(const Side& side) {
  Side other;
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
  const Side across = any_side();
  const Side down = any_side();
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
  const Side across = any_side();
  const Side down = any_side();
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

}  // namespace
}  // namespace panewalk::prop
