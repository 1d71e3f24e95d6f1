#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <map>
#include <random>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "support/routes.hpp"
#include "wiring/fewest_splices.hpp"

/// Random windows with random routes, judged by a second reading of the contract that knows nothing
/// but places on a grid.
namespace panewalk::wiring {
namespace {

constexpr double kPitch = 100;  // mm

/// Column and row, from 0.
using Place = std::pair<int, int>;

/// Pitches across plus pitches down.
int steps(Place a, Place b) { return std::abs(a.first - b.first) + std::abs(a.second - b.second); }

struct Grid {
  std::vector<int> uprights, levels;  ///< columns and rows from 0, edges included
  std::set<Place> joints;

  [[nodiscard]] int columns() const { return uprights.back() + 1; }
  [[nodiscard]] int rows() const { return levels.back() + 1; }
  /// No letter beyond Z in these tests.
  [[nodiscard]] std::string name(std::size_t upright, std::size_t level) const {
    return static_cast<char>('A' + static_cast<int>(upright)) + std::to_string(level + 1);
  }
};

/// Panes of 2 to 5 pitches: then places one pitch apart are always neighbours on a bar.
Grid any_grid(int most_panes = 4) {
  Grid grid{.uprights = {0}, .levels = {0}, .joints = {}};
  for (int i = *rc::gen::inRange(1, most_panes + 1); i > 0; --i) {
    grid.uprights.push_back(grid.uprights.back() + *rc::gen::inRange(2, 6));
  }
  for (int i = *rc::gen::inRange(1, most_panes + 1); i > 0; --i) {
    grid.levels.push_back(grid.levels.back() + *rc::gen::inRange(2, 6));
  }
  for (const int column : grid.uprights) {
    for (const int row : grid.levels) grid.joints.emplace(column, row);
  }
  return grid;
}

prop::WindowShape shape_of(const Grid& grid) {
  const auto inner = [](const std::vector<int>& places) {
    std::vector<int> from_one;
    for (std::size_t i = 1; i + 1 < places.size(); ++i) from_one.push_back(places[i] + 1);
    return from_one;
  };
  return test::window(test::pitch(grid.columns(), kPitch), test::pitch(grid.rows(), kPitch),
                      inner(grid.uprights), inner(grid.levels));
}

prop::Frame frame_of(const Grid& grid) { return test::frame_of(shape_of(grid)); }

/// A straight run from joint to joint, with the places that it comes through.
struct Stretch {
  std::string from, to;
  std::vector<Place> places;
};

/// Cuts every upright and level at random joints into stretches, turns some round, and shuffles
/// them.
std::vector<Stretch> any_stretches(const Grid& grid) {
  std::vector<Stretch> all;
  const auto cut = [&](bool level, std::size_t line) {
    const auto& stops = level ? grid.uprights : grid.levels;
    const int fixed = level ? grid.levels[line] : grid.uprights[line];
    std::size_t start = 0;
    for (std::size_t end = 1; end < stops.size(); ++end) {
      if (end + 1 < stops.size() && *rc::gen::arbitrary<bool>()) continue;
      Stretch stretch{.from = level ? grid.name(start, line) : grid.name(line, start),
                      .to = level ? grid.name(end, line) : grid.name(line, end),
                      .places = {}};
      for (int i = stops[start]; i <= stops[end]; ++i) {
        stretch.places.push_back(level ? Place{i, fixed} : Place{fixed, i});
      }
      if (*rc::gen::arbitrary<bool>()) {
        std::swap(stretch.from, stretch.to);
        std::reverse(stretch.places.begin(), stretch.places.end());
      }
      all.push_back(std::move(stretch));
      start = end;
    }
  };
  for (std::size_t line = 0; line < grid.levels.size(); ++line) cut(true, line);
  for (std::size_t line = 0; line < grid.uprights.size(); ++line) cut(false, line);
  std::mt19937 shuffler{*rc::gen::arbitrary<std::uint32_t>()};
  std::shuffle(all.begin(), all.end(), shuffler);
  return all;
}

struct Plan {
  std::vector<std::string> route;
  std::vector<Place> order;  ///< of the pixels, by the contract
  std::vector<int> run_of;   ///< from 1
};

/// Writes the stretches as runs. An end that a later run reaches as well is put in parentheses now
/// and then; a joint is taken by the first run that reaches it otherwise.
Plan any_plan(const std::vector<Stretch>& stretches, const std::set<Place>& joints) {
  std::map<Place, int> still_to_come;
  for (const Stretch& stretch : stretches) {
    for (const Place& place : stretch.places) ++still_to_come[place];
  }
  Plan plan;
  std::set<Place> taken;
  for (const Stretch& stretch : stretches) {
    std::string words[2] = {stretch.from, stretch.to};
    for (std::size_t i = 0; i < stretch.places.size(); ++i) {
      const Place place = stretch.places[i];
      const int later = --still_to_come[place];
      const bool is_end = i == 0 || i + 1 == stretch.places.size();
      if (is_end && joints.count(place) != 0) {
        const bool may_pass = later > 0 || taken.count(place) != 0;
        if (may_pass && *rc::gen::arbitrary<bool>()) {
          std::string& word = words[i == 0 ? 0 : 1];
          word = '(' + word + ')';
          continue;
        }
      }
      if (!taken.insert(place).second) continue;
      plan.order.push_back(place);
      plan.run_of.push_back(static_cast<int>(plan.route.size()) + 1);
    }
    plan.route.push_back(words[0] + ' ' + words[1]);
  }
  return plan;
}

Place place_of(const test::Wired& wired, std::size_t pixel) {
  const base::Point at = wired.frame()[wired.map().station_of(PixelIndex::of(pixel))].at;
  return {static_cast<int>(at.x.value() / kPitch + 0.5),
          static_cast<int>(at.y.value() / kPitch + 0.5)};
}

/// By distance alone: one pitch is a run; one pitch to a joint and one from it is a hop.
std::string judge(const std::set<Place>& joints, Place from, Place to) {
  if (steps(from, to) == 1) return "run";
  for (const Place& joint : joints) {
    if (steps(from, joint) == 1 && steps(joint, to) == 1) return "hop";
  }
  return "jump";
}

RC_GTEST_PROP(PixelMap, FollowsTheRunsAsWritten, ()) {
  const Grid grid = any_grid();
  const Plan plan = any_plan(any_stretches(grid), grid.joints);
  const test::Wired wired{frame_of(grid), test::route(plan.route)};
  RC_ASSERT(wired.refusal() == "");
  RC_ASSERT(wired.map().size() == plan.order.size());
  for (std::size_t i = 1; i <= plan.order.size(); ++i) {
    RC_ASSERT(place_of(wired, i) == plan.order[i - 1]);
    RC_ASSERT(wired.run(i) == plan.run_of[i - 1]);
  }
  RC_ASSERT(wired.map().runs().size() == plan.route.size());
}

RC_GTEST_PROP(PixelMap, IsAPermutationOfTheStationsThatCarryAPixel, ()) {
  const Grid grid = any_grid();
  const Plan plan = any_plan(any_stretches(grid), grid.joints);
  // Some places are empty; a run that takes nothing then is not what this is about.
  const prop::Frame whole = frame_of(grid);
  std::vector<std::string> empty;
  for (const prop::Station& station : whole.stations()) {
    if (*rc::gen::inRange(0, 8) == 0) empty.push_back(station.name);
  }
  const auto built = prop::build({test::section(shape_of(grid), empty)});
  RC_PRE(built.ok());
  const test::Wired wired{built.value(), test::route(plan.route)};
  RC_PRE(wired.refusal() == "");
  const PixelMap& map = wired.map();
  RC_ASSERT(map.size() == whole.stations().size() - empty.size());
  std::set<std::uint32_t> seen;
  for (std::size_t i = 1; i <= map.size(); ++i) {
    const StationIndex station = map.station_of(PixelIndex::of(i));
    RC_ASSERT(wired.frame()[station].carries_pixel);
    RC_ASSERT(seen.insert(station.value()).second);
    RC_ASSERT(map.pixel_of(station) == PixelIndex::of(i));
  }
  for (std::size_t i = 0; i < wired.frame().stations().size(); ++i) {
    const auto pixel = map.pixel_of(StationIndex::of(i));
    RC_ASSERT(pixel.has_value() == wired.frame().stations()[i].carries_pixel);
    if (pixel) RC_ASSERT(map.station_of(*pixel) == StationIndex::of(i));
  }
  // Runs follow each other without gap or overlap.
  std::uint32_t next = 1;
  for (const Run& run : map.runs()) {
    RC_ASSERT(run.first.value() == next);
    RC_ASSERT(run.last >= run.first);
    next = run.last.value() + 1;
  }
  RC_ASSERT(next == map.size() + 1);
}

RC_GTEST_PROP(PixelMap, TellsRunsHopsAndJumpsAsAJudgeOfDistancesDoes, ()) {
  const Grid grid = any_grid();
  const Plan plan = any_plan(any_stretches(grid), grid.joints);
  const test::Wired wired{frame_of(grid), test::route(plan.route)};
  RC_ASSERT(wired.refusal() == "");
  std::map<std::string, std::size_t> counts{{"lead-in", 1}};
  RC_ASSERT(wired.reached_by(1) == "lead-in");
  for (std::size_t i = 2; i <= plan.order.size(); ++i) {
    const std::string way = judge(grid.joints, plan.order[i - 2], plan.order[i - 1]);
    RC_ASSERT(wired.reached_by(i) == way);
    ++counts[way];
  }
  RC_ASSERT(wired.map().count(ReachedBy::kLeadIn) == 1U);
  RC_ASSERT(wired.map().count(ReachedBy::kRun) == counts["run"]);
  RC_ASSERT(wired.map().count(ReachedBy::kHop) == counts["hop"]);
  RC_ASSERT(wired.map().count(ReachedBy::kJump) == counts["jump"]);
  RC_ASSERT(wired.map().splices().size() == counts["hop"] + counts["jump"]);
}

RC_GTEST_PROP(Splices, HaveWireThatIsNoShorterThanTheFrameAllows, ()) {
  const Grid grid = any_grid();
  const Plan plan = any_plan(any_stretches(grid), grid.joints);
  const test::Wired wired{frame_of(grid), test::route(plan.route)};
  RC_ASSERT(wired.refusal() == "");
  double all = 0;
  for (const Splice& splice : wired.map().splices()) {
    const Place from = plan.order[splice.from.value() - 1];
    const Place to = plan.order[splice.from.value()];
    // Bars are level or upright: no way is shorter than across plus down. A hop is two pitches.
    const double least = kPitch * steps(from, to);
    RC_ASSERT(splice.wire.value() > least - 1e-6);
    if (splice.way == ReachedBy::kHop) RC_ASSERT(std::abs(splice.wire.value() - 2 * kPitch) < 1e-6);
    all += splice.wire.value();
  }
  RC_ASSERT(std::abs(wired.map().splice_wire().value() - all) < 1e-6);
}

// Any route has at least panes − 2 splices: a joint of d bars leaves d − 2 ends, Σ(d − 2)/2 = bars
// − joints = panes − 1 paths, and paths are joined by one splice less than there are.
RC_GTEST_PROP(Splices, AreNeverFewerThanThePanesLessTwo, ()) {
  const Grid grid = any_grid();
  const Plan plan = any_plan(any_stretches(grid), grid.joints);
  const test::Wired wired{frame_of(grid), test::route(plan.route)};
  RC_ASSERT(wired.refusal() == "");
  const std::size_t panes = (grid.uprights.size() - 1) * (grid.levels.size() - 1);
  RC_ASSERT(wired.map().splices().size() + 2 >= panes);
}

// The same count from below: no closed loop is left over in a window, so that it is reached.
RC_GTEST_PROP(FewestSplices, AreThePanesLessTwoAndReadBackAsFound, ()) {
  const Grid grid = any_grid(3);
  const test::Wired asked{frame_of(grid), {.route = {}, .fewest_splices = true, .spares = {}}};
  RC_ASSERT(asked.refusal() == "");
  const auto found = find_fewest_splices(asked.frame()).value();
  const std::size_t panes = (grid.uprights.size() - 1) * (grid.levels.size() - 1);
  RC_ASSERT(found.splices() == (panes < 2 ? 0 : panes - 2));
  RC_ASSERT(found.fewest == found.splices());
  RC_ASSERT(found.proven);
  RC_ASSERT(found.least_wire <= found.map.splice_wire());
  const test::Wired written{frame_of(grid), test::route(found.runs)};
  RC_ASSERT(written.refusal() == "");
  RC_ASSERT(written.order() == asked.order());
  RC_ASSERT(written.splices() == asked.splices());
  RC_ASSERT(written.map().size() == asked.frame().pixel_count());
}

// Whatever a builder writes, the search does as well or better.
RC_GTEST_PROP(FewestSplices, AreNoMoreThanThoseOfAnyOtherRoute, ()) {
  const Grid grid = any_grid(2);
  const Plan plan = any_plan(any_stretches(grid), grid.joints);
  const test::Wired wired{frame_of(grid), test::route(plan.route)};
  RC_ASSERT(wired.refusal() == "");
  const RouteWishes wishes{.first = wired.map().station_of(PixelIndex::of(1)),
                           .last = wired.map().station_of(PixelIndex::of(wired.map().size())),
                           .longest = {}};
  const auto found = find_fewest_splices(wired.frame(), wishes).value();
  RC_ASSERT(found.map.station_of(PixelIndex::of(1)) == *wishes.first);
  RC_ASSERT(found.map.station_of(PixelIndex::of(found.map.size())) == *wishes.last);
  RC_ASSERT(found.fewest <= wired.map().splices().size());
  RC_ASSERT(found.splices() <= wired.map().splices().size());
  if (found.least_wire_proven && found.splices() == wired.map().splices().size()) {
    RC_ASSERT(found.map.splice_wire() <= wired.map().splice_wire() + test::mm(0.01));
  }
}

RC_GTEST_PROP(Route, WithoutOneRunNamesItsFirstStation, ()) {
  const Grid grid = any_grid();
  const auto stretches = any_stretches(grid);
  Plan plan = any_plan(stretches, grid.joints);
  const auto lost = *rc::gen::inRange<std::size_t>(0, plan.route.size());
  plan.route.erase(plan.route.begin() + static_cast<std::ptrdiff_t>(lost));
  const test::Wired wired{frame_of(grid), test::route(plan.route)};
  RC_ASSERT(wired.problems().size() == 1U);
  RC_ASSERT(wired.refusal().find(" visited by no run; ") != std::string::npos);
  // A place inside a bar is of one run only.
  const Place inside = stretches[lost].places[1];
  for (const prop::Station& station : wired.frame().stations()) {
    if (station.at != test::at(inside.first * kPitch, inside.second * kPitch)) continue;
    const bool named = wired.refusal().find(station.name) != std::string::npos;
    RC_ASSERT(named || wired.refusal().find(" more are visited by no run") != std::string::npos);
  }
}

RC_GTEST_PROP(Route, WithOneRunTwiceIsRefused, ()) {
  const Grid grid = any_grid();
  Plan plan = any_plan(any_stretches(grid), grid.joints);
  const auto again = *rc::gen::inRange<std::size_t>(0, plan.route.size());
  plan.route.push_back(plan.route[again]);
  const test::Wired wired{frame_of(grid), test::route(plan.route)};
  RC_ASSERT(wired.problems().size() == 1U);
  RC_ASSERT(wired.problems()[0].where == "/wiring/route/" + std::to_string(plan.route.size() - 1));
  RC_ASSERT(wired.problems()[0].what.find("visited twice, first by run " +
                                          std::to_string(again + 1)) != std::string::npos);
}

}  // namespace
}  // namespace panewalk::wiring
