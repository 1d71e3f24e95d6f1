#include "site/map_export.hpp"

#include <array>
#include <cstdio>
#include <nlohmann/json.hpp>
#include <vector>

#include "site/micrometre.hpp"

namespace panewalk::site {
namespace {

using base::PixelIndex;

/// One pixel of the map in the words of every export.
struct Row {
  PixelIndex pixel;
  std::string station;
  double x_mm = 0, y_mm = 0;
  int run = 0;
  std::string_view reached_by;
  patch::Channel channel;
};

std::vector<Row> rows(const engine::Plan& plan, std::size_t index) {
  const engine::PlannedProp& prop = *plan.props[index];
  std::vector<Row> all;
  for (std::size_t i = 1; i <= prop.map.size(); ++i) {
    const PixelIndex pixel = PixelIndex::of(i);
    const prop::Station& station = prop.frame[prop.map.station_of(pixel)];
    all.push_back({.pixel = pixel,
                   .station = station.name,
                   .x_mm = to_micrometre(station.at.x),
                   .y_mm = to_micrometre(station.at.y),
                   .run = prop.map.run_of(pixel),
                   .reached_by = wiring::to_text(prop.map.reached_by(pixel)),
                   .channel = plan.patch.props[index].of(pixel)});
  }
  return all;
}

/// The shortest decimal that reads back as the same number.
std::string number(double value) { return nlohmann::json(value).dump(); }

std::string short_number(double value) {
  std::string text = number(value);
  if (text.size() > 2 && text.substr(text.size() - 2) == ".0") text.resize(text.size() - 2);
  return text;
}

std::string counted(std::size_t count, const char* one, const char* many) {
  return std::to_string(count) + ' ' + (count == 1 ? one : many);
}

}  // namespace

std::string map_as_json(const engine::Plan& plan, std::size_t index) {
  const wiring::PixelMap& map = plan.props[index]->map;
  const std::string& controller = plan.controllers[plan.patch.props[index].controller()].name;
  nlohmann::ordered_json pixels = nlohmann::ordered_json::array();
  for (const Row& row : rows(plan, index)) {
    pixels.push_back({{"index", row.pixel.value()},
                      {"station", row.station},
                      {"x_mm", row.x_mm},
                      {"y_mm", row.y_mm},
                      {"run", row.run},
                      {"reached_by", row.reached_by},
                      {"controller", controller},
                      {"universe", row.channel.universe},
                      {"channel", row.channel.channel}});
  }
  const nlohmann::ordered_json whole = {{"prop", plan.props[index]->name},
                                        {"pixels", std::move(pixels)},
                                        {"runs", map.runs().size()},
                                        {"hops", map.count(wiring::ReachedBy::kHop)},
                                        {"jumps", map.count(wiring::ReachedBy::kJump)},
                                        {"jump_wire_mm", to_micrometre(map.splice_wire())}};
  return whole.dump(2) + '\n';
}

std::string map_as_csv(const engine::Plan& plan, std::size_t index) {
  const std::string& controller = plan.controllers[plan.patch.props[index].controller()].name;
  std::string text = "index,station,x_mm,y_mm,run,reached_by,controller,universe,channel\r\n";
  for (const Row& row : rows(plan, index)) {
    // No field can hold a comma or a quote: names are letters, digits and "-_./".
    text += std::to_string(row.pixel.value()) + ',' + row.station + ',' + short_number(row.x_mm) +
            ',' + short_number(row.y_mm) + ',' + std::to_string(row.run) + ',' +
            std::string{row.reached_by} + ',' + controller + ',' +
            std::to_string(row.channel.universe) + ',' + std::to_string(row.channel.channel) +
            "\r\n";
  }
  return text;
}

std::string map_as_table(const engine::Plan& plan, std::size_t index) {
  const engine::PlannedProp& prop = *plan.props[index];
  const std::string& controller = plan.controllers[plan.patch.props[index].controller()].name;
  using Line = std::array<std::string, 9>;
  std::vector<Line> lines{{"index", "station", "x mm", "y mm", "run", "reached by", "controller",
                           "universe", "channel"}};
  for (const Row& row : rows(plan, index)) {
    std::array<char, 32> x{};
    std::array<char, 32> y{};
    std::snprintf(x.data(), x.size(), "%.1f", row.x_mm);
    std::snprintf(y.data(), y.size(), "%.1f", row.y_mm);
    lines.push_back({std::to_string(row.pixel.value()), row.station, x.data(), y.data(),
                     std::to_string(row.run), std::string{row.reached_by}, controller,
                     std::to_string(row.channel.universe), std::to_string(row.channel.channel)});
  }
  constexpr std::array<bool, 9> kLeft{false, true, false, false, false, true, true, false, false};
  std::array<std::size_t, 9> width{};
  for (const Line& line : lines) {
    for (std::size_t c = 0; c < line.size(); ++c) width[c] = std::max(width[c], line[c].size());
  }
  std::string text;
  for (const Line& line : lines) {
    std::string row;
    for (std::size_t c = 0; c < line.size(); ++c) {
      const std::string pad(width[c] - line[c].size(), ' ');
      row += (c > 0 ? "  " : "") + (kLeft[c] ? line[c] + pad : pad + line[c]);
    }
    text += row.substr(0, row.find_last_not_of(' ') + 1) + '\n';
  }
  const wiring::PixelMap& map = prop.map;
  std::array<char, 64> wire{};
  std::snprintf(wire.data(), wire.size(), "%.0f mm", map.splice_wire().value());
  text += prop.name + ": " + counted(map.size(), "pixel", "pixels") + " in " +
          counted(map.runs().size(), "run", "runs") + ", " +
          counted(map.count(wiring::ReachedBy::kHop), "hop", "hops") + " and " +
          counted(map.count(wiring::ReachedBy::kJump), "jump", "jumps") + ", " + wire.data() +
          " of wire for them\n";
  return text;
}

}  // namespace panewalk::site
