#include "wiring/pixel_map.hpp"

#include <algorithm>
#include <utility>

#include "prop/ways.hpp"
#include "wiring/fewest_splices.hpp"
#include "wiring/route_reader.hpp"

namespace panewalk::wiring {
namespace {

using base::Problem;
using base::Problems;

constexpr std::size_t kMostNamed = 8;

/// "A, B and C", or the first few "and 12 more".
std::string some_of(const std::vector<std::string>& names) {
  if (names.size() <= kMostNamed) return base::listed(names);
  std::vector<std::string> shown(names.begin(), names.begin() + kMostNamed);
  shown.push_back(std::to_string(names.size() - kMostNamed) + " more");
  return base::listed(shown);
}

ReachedBy way_between(const prop::Frame& frame, StationIndex from, StationIndex to) {
  bool hop = false;
  for (const prop::Neighbour& next : frame.neighbours(from)) {
    if (next.station == to) return ReachedBy::kRun;
    // What the data can hop over: a joint that is taken elsewhere, or a place without a pixel.
    const prop::Station& between = frame[next.station];
    if (!between.joint && between.carries_pixel) continue;
    const auto& beyond = frame.neighbours(next.station);
    hop = hop || std::any_of(beyond.begin(), beyond.end(),
                             [to](const prop::Neighbour& last) { return last.station == to; });
  }
  return hop ? ReachedBy::kHop : ReachedBy::kJump;
}

}  // namespace

std::string_view to_text(ReachedBy way) {
  switch (way) {
    case ReachedBy::kLeadIn: return "lead-in";
    case ReachedBy::kRun: return "run";
    case ReachedBy::kHop: return "hop";
    case ReachedBy::kJump: return "jump";
  }
  return "";
}

std::optional<PixelIndex> PixelMap::pixel_of(StationIndex station) const {
  const std::uint32_t pixel = pixel_of_[station.value()];
  if (pixel == 0) return std::nullopt;
  return PixelIndex::of(pixel);
}

std::size_t PixelMap::count(ReachedBy way) const {
  return static_cast<std::size_t>(std::count(reached_by_.begin(), reached_by_.end(), way));
}

Millimetres PixelMap::splice_wire() const {
  Millimetres wire;
  for (const Splice& splice : splices_) wire += splice.wire;
  return wire;
}

int PixelMap::spares_before(PixelIndex pixel) const {
  int before = 0;
  for (const Spares& spares : spares_) {
    if (static_cast<std::uint32_t>(spares.after) < pixel.value()) before += spares.count;
  }
  return before;
}

int PixelMap::spare_count() const {
  int all = 0;
  for (const Spares& spares : spares_) all += spares.count;
  return all;
}

/// Takes the stations run by run, then looks at what lies between them.
class MapBuilder {
 public:
  MapBuilder(const prop::Frame& frame, const WiringDescription& wiring)
      : frame_{frame}, wiring_{wiring} {}

  base::Result<PixelMap> build() {
    const std::vector<std::string> route = wiring_.fewest_splices  ? found_route()
                                           : wiring_.route.empty() ? points_route()
                                                                   : wiring_.route;
    if (route.empty()) {
      return Problems{{.where = "/wiring",
                       .what = "no route",
                       .remedy = "a list of runs, such as \"route\": [\"A1 B1\"]; only a prop of "
                                 "points needs none"}};
    }
    taken_.resize(frame_.stations().size());
    taken_by_.resize(frame_.stations().size());
    map_.pixel_of_.resize(frame_.stations().size());
    for (std::size_t i = 0; i < route.size(); ++i) take_run(route[i], i);
    if (all_read_) report_missed();
    take_spares();
    if (!problems_.empty()) return std::move(problems_);
    find_splices();
    return std::move(map_);
  }

 private:
  [[nodiscard]] std::vector<std::string> found_route() const {
    auto found = find_fewest_splices(frame_);
    return found ? std::move(found).value().runs : std::vector<std::string>{};
  }

  /// Points are listed in wiring order: one run a section.
  [[nodiscard]] std::vector<std::string> points_route() const {
    std::vector<std::string> route;
    for (const prop::Section& section : frame_.sections()) {
      if (section.kind != prop::ShapeKind::kPoints) return {};
      std::string run = frame_.joints()[section.first_joint].name;
      if (section.end_joint - section.first_joint > 1) {
        run += ' ' + frame_.joints()[section.first_joint + 1].name;
      }
      route.push_back(run);
    }
    return route;
  }

  void take_run(const std::string& text, std::size_t number) {
    const std::string where = base::element("/wiring/route", number);
    const std::size_t problems_before = problems_.size();
    const auto visits = walk_run(frame_, text, where, taken_, problems_);
    if (problems_.size() != problems_before) {
      all_read_ = false;
      return;
    }
    const std::size_t first = map_.station_of_.size() + 1;
    std::vector<std::string> doubled;
    std::optional<std::size_t> other_run;
    int at = 0;
    for (const Visit& visit : visits) {
      const prop::Station& station = frame_[visit.station];
      if (!station.carries_pixel) continue;
      if (!visit.take || (taken_[visit.station.value()] && station.joint)) {
        map_.passes_.push_back(
            {.joint = visit.station, .after = static_cast<std::uint32_t>(map_.station_of_.size())});
        continue;
      }
      if (taken_[visit.station.value()]) {
        if (doubled.empty()) {
          at = visit.at;
          other_run = taken_by_[visit.station.value()];
        }
        doubled.push_back(station.name);
        continue;
      }
      take(visit.station, number);
    }
    if (!doubled.empty()) {
      problems_.push_back({.where = where,
                           .what = some_of(doubled) + (doubled.size() == 1 ? " is" : " are") +
                                   " visited twice, first by run " + std::to_string(*other_run + 1),
                           .remedy = "each station is visited once",
                           .within = at});
    } else if (map_.station_of_.size() < first) {
      problems_.push_back({.where = where,
                           .what = "this run takes no pixel",
                           .remedy = "leave it out, or name a joint without parentheses"});
    } else {
      map_.runs_.push_back(
          {.first = PixelIndex::of(first), .last = PixelIndex::of(map_.station_of_.size())});
    }
  }

  void take(StationIndex station, std::size_t run) {
    taken_[station.value()] = true;
    taken_by_[station.value()] = run;
    map_.station_of_.push_back(station);
    map_.pixel_of_[station.value()] = static_cast<std::uint32_t>(map_.station_of_.size());
    map_.run_of_.push_back(static_cast<int>(run) + 1);
  }

  void report_missed() {
    std::vector<std::string> missed;
    for (std::size_t i = 0; i < taken_.size(); ++i) {
      const prop::Station& station = frame_.stations()[i];
      if (station.carries_pixel && !taken_[i]) missed.push_back(station.name);
    }
    if (missed.empty()) return;
    problems_.push_back(
        {.where = wiring_.route.empty() ? "/wiring" : "/wiring/route",
         .what = some_of(missed) + (missed.size() == 1 ? " is" : " are") + " visited by no run",
         .remedy = "each station is visited once; list it under \"empty\" if it has "
                   "no pixel"});
  }

  void take_spares() {
    const std::size_t pixels = frame_.pixel_count();
    for (std::size_t i = 0; i < wiring_.spares.size(); ++i) {
      const int after = wiring_.spares[i].after;
      if (after < 1 || static_cast<std::size_t>(after) > pixels) {
        problems_.push_back({.where = base::element("/wiring/spares", i) + "/after",
                             .what = "there is no pixel " + std::to_string(after),
                             .remedy = "1 to " + std::to_string(pixels) +
                                       "; pixels before pixel 1 are the site's nulls"});
      }
      for (std::size_t j = 0; j < i; ++j) {
        if (wiring_.spares[j].after != after) continue;
        problems_.push_back(
            {.where = base::element("/wiring/spares", i) + "/after",
             .what = "spares after pixel " + std::to_string(after) + " are listed twice",
             .remedy = "one entry with the whole count"});
        break;
      }
    }
    map_.spares_ = wiring_.spares;
    std::sort(map_.spares_.begin(), map_.spares_.end(),
              [](const Spares& a, const Spares& b) { return a.after < b.after; });
  }

  void find_splices() {
    map_.reached_by_.push_back(ReachedBy::kLeadIn);
    for (std::size_t i = 1; i < map_.station_of_.size(); ++i) {
      const StationIndex from = map_.station_of_[i - 1];
      const StationIndex to = map_.station_of_[i];
      const ReachedBy way = way_between(frame_, from, to);
      map_.reached_by_.push_back(way);
      if (way == ReachedBy::kRun) continue;
      map_.splices_.push_back(
          {.from = PixelIndex::of(i), .way = way, .wire = prop::shortest_way(frame_, from, to)});
    }
  }

  const prop::Frame& frame_;
  const WiringDescription& wiring_;
  Problems problems_;
  bool all_read_ = true;  // else what is missed follows from the run that could not be read
  std::vector<bool> taken_;
  std::vector<std::size_t> taken_by_;
  PixelMap map_;
};

base::Result<PixelMap> read_route(const prop::Frame& frame, const WiringDescription& wiring) {
  return MapBuilder{frame, wiring}.build();
}

}  // namespace panewalk::wiring
