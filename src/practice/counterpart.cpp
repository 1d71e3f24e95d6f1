#include <algorithm>
#include <cmath>

#include "practice/fault.hpp"

namespace panewalk::practice {
namespace {

constexpr base::Millimetres kNearEnough = base::Millimetres::of(5);

struct Box {
  base::Point least, most;
};

Box box_of(const prop::Frame& frame) {
  Box box{frame.stations().front().at, frame.stations().front().at};
  for (const prop::Station& station : frame.stations()) {
    box.least.x = std::min(box.least.x, station.at.x);
    box.least.y = std::min(box.least.y, station.at.y);
    box.most.x = std::max(box.most.x, station.at.x);
    box.most.y = std::max(box.most.y, station.at.y);
  }
  return box;
}

std::optional<StationIndex> nearest(const prop::Frame& frame, base::Point to) {
  std::optional<StationIndex> found;
  base::Millimetres least = kNearEnough;
  for (std::size_t i = 0; i < frame.stations().size(); ++i) {
    const base::Millimetres away = base::distance(frame.stations()[i].at, to);
    if (away > least || (found && away == least)) continue;
    least = away;
    found = StationIndex::of(i);
  }
  return found;
}

}  // namespace

std::optional<StationIndex> mirror_station(const prop::Frame& frame, StationIndex station) {
  const Box box = box_of(frame);
  const base::Point at = frame[station].at;
  return nearest(frame, {box.least.x + box.most.x - at.x, at.y});
}

std::optional<StationIndex> turned_station(const prop::Frame& frame, StationIndex station) {
  const Box box = box_of(frame);
  return nearest(frame, box.least + box.most - frame[station].at);
}

}  // namespace panewalk::practice
