#include "site/wanted_chain.hpp"

#include <algorithm>
#include <utility>

#include "wiring/route_writer.hpp"

namespace panewalk::site {
namespace {

using base::PixelIndex;
using practice::Fault;
using practice::FaultKind;

using Ways = std::vector<std::vector<WantedRun>>;

std::vector<StationIndex> order_of(const wiring::PixelMap& map) {
  std::vector<StationIndex> order;
  for (std::size_t i = 1; i <= map.size(); ++i) order.push_back(map.station_of(PixelIndex::of(i)));
  return order;
}

std::vector<WantedRun> as_described(const wiring::PixelMap& map,
                                    const std::vector<std::string>& runs) {
  std::vector<WantedRun> all;
  for (std::size_t i = 0; i < map.runs().size(); ++i) {
    WantedRun run{.text = runs[i], .takes = {}};
    for (PixelIndex pixel = map.runs()[i].first; pixel <= map.runs()[i].last;
         pixel = pixel.next()) {
      run.takes.push_back(map.station_of(pixel));
    }
    all.push_back(std::move(run));
  }
  return all;
}

std::size_t run_index(std::int32_t run) { return static_cast<std::size_t>(run) - 1; }

void leave_out(std::vector<WantedRun>& runs, StationIndex station) {
  for (WantedRun& run : runs) {
    run.takes.erase(std::remove(run.takes.begin(), run.takes.end(), station), run.takes.end());
  }
}

/// The joint behind the station that comes before it now: at the end of that one's run, or at the
/// start of the next.
Ways with_joint_late(std::vector<WantedRun> runs, StationIndex joint,
                     const std::vector<StationIndex>& order) {
  leave_out(runs, joint);
  const auto at = std::find(order.begin(), order.end(), joint);
  if (at == order.begin() || at == order.end()) return {};
  const StationIndex before = *(at - 1);
  Ways ways;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    const auto& takes = runs[i].takes;
    const auto found = std::find(takes.begin(), takes.end(), before);
    if (found == takes.end()) continue;
    const auto place = found - takes.begin() + 1;
    ways.push_back(runs);
    auto& longer = ways.back()[i].takes;
    longer.insert(longer.begin() + place, joint);
    for (std::size_t next = i + 1; found + 1 == takes.end() && next < runs.size(); ++next) {
      ways.push_back(runs);
      auto& later = ways.back()[next].takes;
      later.insert(later.begin(), joint);
      if (!runs[next].takes.empty()) break;
    }
  }
  return ways;
}

/// Nothing where the prop has no left and right half alike.
Ways mirrored(const prop::Frame& frame, std::vector<WantedRun> runs) {
  const auto to = [&frame](StationIndex station) {
    return practice::mirror_station(frame, station);
  };
  for (WantedRun& run : runs) {
    auto text = moved(frame, run.text, to);
    if (!text) return {};
    run.text = std::move(*text);
    for (StationIndex& station : run.takes) {
      const auto other = to(station);
      if (!other) return {};
      station = *other;
    }
  }
  return {std::move(runs)};
}

Ways ways_of(const practice::Subject& subject, const Fault& fault,
             const std::vector<StationIndex>& order, const std::vector<std::string>& texts) {
  std::vector<WantedRun> runs = as_described(*subject.map, texts);
  switch (fault.kind) {
    case FaultKind::kRunReversed: {
      WantedRun& run = runs[run_index(fault.value)];
      run.text = turned_round(run.text);
      std::reverse(run.takes.begin(), run.takes.end());
      break;
    }
    case FaultKind::kRunsSwapped:
      std::swap(runs[run_index(fault.value)], runs[run_index(fault.second)]);
      break;
    case FaultKind::kPixelSkipped:
      leave_out(runs,
                subject.map->station_of(PixelIndex::of(static_cast<std::size_t>(fault.value))));
      break;
    case FaultKind::kJointLate:
      return with_joint_late(std::move(runs),
                             StationIndex::of(static_cast<std::size_t>(fault.value)), order);
    case FaultKind::kMirrored: return mirrored(*subject.frame, std::move(runs));
    default: break;
  }
  return {std::move(runs)};
}

}  // namespace

std::vector<std::string> runs_of(const prop::Frame& frame, const wiring::PixelMap& map,
                                 const wiring::WiringDescription& wiring) {
  if (wiring.fewest_splices) return wiring::write_route(frame, order_of(map));
  if (!wiring.route.empty()) return wiring.route;
  std::vector<std::string> runs;  // of points, from the first of each section to its last
  for (const wiring::Run& run : map.runs()) {
    runs.push_back(frame[map.station_of(run.first)].name);
    if (run.first != run.last) runs.back() += ' ' + frame[map.station_of(run.last)].name;
  }
  return runs;
}

WantedChain wanted_chain(const practice::Subject& subject, const practice::Chain& wired,
                         const Fault& fault, const std::vector<std::string>& runs) {
  WantedChain wanted;
  for (const auto& station : wired.all()) {
    if (station) {
      wanted.order.push_back(*station);
    } else if (wanted.order.empty()) {
      ++wanted.nulls;
    } else if (const auto after = static_cast<int>(wanted.order.size());
               !wanted.spares.empty() && wanted.spares.back().after == after) {
      ++wanted.spares.back().count;
    } else {
      wanted.spares.push_back({.after = after, .count = 1});
    }
  }
  wanted.ways = ways_of(subject, fault, wanted.order, runs);
  return wanted;
}

}  // namespace panewalk::site
