#include "site/drawing_export.hpp"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <vector>

#include "prop/place_words.hpp"
#include "prop/ways.hpp"
#include "site/micrometre.hpp"

namespace panewalk::site {
namespace {

using base::PixelIndex;
using base::StationIndex;
using Json = nlohmann::ordered_json;

Json json_of(base::Point point) {
  return Json::array({to_micrometre(point.x), to_micrometre(point.y)});
}

Json json_of(const std::vector<base::Point>& points) {
  Json all = Json::array();
  for (const base::Point point : points) all.push_back(json_of(point));
  return all;
}

Json box_of(const prop::Frame& frame) {
  base::Point least = frame.stations().front().at;
  base::Point most = least;
  for (const prop::Station& station : frame.stations()) {
    least = {std::min(least.x, station.at.x), std::min(least.y, station.at.y)};
    most = {std::max(most.x, station.at.x), std::max(most.y, station.at.y)};
  }
  return {{"x", to_micrometre(least.x)},
          {"y", to_micrometre(least.y)},
          {"width", to_micrometre(most.x - least.x)},
          {"height", to_micrometre(most.y - least.y)}};
}

Json bars_of(const prop::Frame& frame) {
  Json all = Json::array();
  for (const prop::Bar& bar : frame.bars()) {
    std::vector<base::Point> points{frame[bar.from].at};
    for (const StationIndex inside : bar.inside) points.push_back(frame[inside].at);
    points.push_back(frame[bar.to].at);
    all.push_back({{"bar", bar.name}, {"points_mm", json_of(points)}});
  }
  return all;
}

Json joints_of(const prop::Frame& frame) {
  Json all = Json::array();
  for (const prop::Joint& joint : frame.joints()) {
    all.push_back({{"joint", joint.name},
                   {"x_mm", to_micrometre(joint.at.x)},
                   {"y_mm", to_micrometre(joint.at.y)}});
  }
  return all;
}

Json pixels_of(const engine::PlannedProp& prop, const patch::PropPatch& patch) {
  Json all = Json::array();
  for (std::size_t i = 1; i <= prop.map.size(); ++i) {
    const PixelIndex pixel = PixelIndex::of(i);
    const StationIndex index = prop.map.station_of(pixel);
    const prop::Station& station = prop.frame[index];
    const patch::Channel channel = patch.of(pixel);
    all.push_back({{"index", i},
                   {"station", station.name},
                   {"place", place_in_words(prop.frame, index, prop::Side::kFront)},
                   {"place_back", place_in_words(prop.frame, index, prop::Side::kBack)},
                   {"x_mm", to_micrometre(station.at.x)},
                   {"y_mm", to_micrometre(station.at.y)},
                   {"run", prop.map.run_of(pixel)},
                   {"reached_by", wiring::to_text(prop.map.reached_by(pixel))},
                   {"universe", channel.universe},
                   {"channel", channel.channel}});
  }
  return all;
}

Json empty_of(const prop::Frame& frame) {
  Json all = Json::array();
  for (const prop::Station& station : frame.stations()) {
    if (station.carries_pixel) continue;
    all.push_back({{"station", station.name},
                   {"x_mm", to_micrometre(station.at.x)},
                   {"y_mm", to_micrometre(station.at.y)}});
  }
  return all;
}

Json runs_of(const wiring::PixelMap& map) {
  Json all = Json::array();
  for (const wiring::Run& run : map.runs()) {
    all.push_back(
        {{"run", all.size() + 1}, {"first", run.first.value()}, {"last", run.last.value()}});
  }
  return all;
}

Json splices_of(const engine::PlannedProp& prop) {
  Json all = Json::array();
  for (const wiring::Splice& splice : prop.map.splices()) {
    const PixelIndex to = splice.from.next();
    const auto path =
        shortest_path(prop.frame, prop.map.station_of(splice.from), prop.map.station_of(to));
    all.push_back({{"splice", all.size() + 1},
                   {"from", splice.from.value()},
                   {"to", to.value()},
                   {"way", wiring::to_text(splice.way)},
                   {"wire_mm", to_micrometre(splice.wire)},
                   {"path_mm", json_of(path)}});
  }
  return all;
}

}  // namespace

std::string drawing_as_json(const engine::Plan& plan, std::size_t index) {
  const engine::PlannedProp& prop = *plan.props[index];
  const Json whole = {{"prop", prop.name},
                      {"about", prop.about},
                      {"hung", prop.turned ? "turned" : "upright"},
                      {"box_mm", box_of(prop.frame)},
                      {"bars", bars_of(prop.frame)},
                      {"joints", joints_of(prop.frame)},
                      {"pixels", pixels_of(prop, plan.patch.props[index])},
                      {"empty", empty_of(prop.frame)},
                      {"runs", runs_of(prop.map)},
                      {"splices", splices_of(prop)}};
  return whole.dump() + '\n';
}

}  // namespace panewalk::site
