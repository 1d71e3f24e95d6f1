#include "scan/report.hpp"

#include <algorithm>

namespace panewalk::scan {

std::uint64_t Beyond::all() const {
  return sources + streams + listed + syncs + nodes + art_streams + callers + hosts + strangers;
}

bool Report::heard_anything() const {
  const auto is_other = [](const auto& one) { return !one.own; };
  return std::any_of(sources.begin(), sources.end(), is_other) ||
         std::any_of(syncs.begin(), syncs.end(), is_other) || !nodes.empty() ||
         std::any_of(art_streams.begin(), art_streams.end(), is_other) ||
         std::any_of(callers.begin(), callers.end(), is_other) || !strangers.empty() ||
         other_artnet > 0 || beyond.all() > 0;
}

}  // namespace panewalk::scan
