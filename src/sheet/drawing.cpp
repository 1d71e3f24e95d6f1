#include "sheet/drawing.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>

#include "prop/ways.hpp"
#include "sheet/drawing_parts.hpp"

namespace panewalk::sheet {
namespace {

constexpr std::array<std::string_view, 8> kStrokes{
    "", "3 1.2", "0.9 0.9", "4.5 1 0.9 1", "6 1.6", "4 0.9 0.9 0.9 0.9 0.9", "1.8 0.9", "8 1 2 1"};

constexpr const char* kStyle =
    ".pw-drawing text{font-family:'DejaVu Sans',Arial,Helvetica,sans-serif;fill:#000}"
    ".pw-side{font-size:6px;font-weight:bold}.pw-note{font-size:2.8px}"
    ".pw-pipe{fill:none;stroke:#777;stroke-linecap:round;stroke-linejoin:round}"
    ".pw-bore{fill:none;stroke:#fff;stroke-linecap:round;stroke-linejoin:round}"
    ".pw-run{fill:none;stroke:#000;stroke-width:.55}"
    ".pw-way{fill:none;stroke:#000;stroke-width:.35}"
    ".pw-splice{fill:none;stroke:#000;stroke-width:.5;stroke-dasharray:.1 1.1;stroke-linecap:round}"
    ".pw-tie{fill:none;stroke:#000;stroke-width:.4;stroke-dasharray:3.2 .9 .1 "
    ".9;stroke-linecap:round}"
    ".pw-pixel{fill:#fff;stroke:#000;stroke-width:.25}.pw-end{fill:#000;stroke:#000;stroke-width:."
    "25}"
    ".pw-empty{stroke:#000;stroke-width:.3;fill:none}"
    ".pw-key{font-size:2.7px;font-weight:bold}.pw-index{font-size:2.1px}"
    ".pw-joint{font-size:2.5px;font-style:italic}"
    ".pw-flag{fill:#000}.pw-drawing text.pw-flag-text{fill:#fff;font-size:2.5px;font-weight:bold}"
    ".pw-tag{fill:#fff;stroke:#000;stroke-width:.3}.pw-tag-text{font-size:2.4px;font-weight:bold}"
    ".pw-leader{stroke:#000;stroke-width:.18}"
    ".pw-legend{font-size:2.6px}";

}  // namespace

std::string_view stroke_of(std::size_t run) { return kStrokes[(run - 1) % kStrokes.size()]; }

Drawing::Drawing(const engine::PlannedProp& prop, prop::Side side, const DrawingOptions& options)
    : prop_{prop},
      side_{side},
      options_{options},
      legend_rows_{legend_rows(prop)},
      layout_{prop.frame, side, kPaperWidth, kPaperHeight - kHead - legend_height()},
      placer_{layout_.width(), layout_.height()},
      pipe_{std::clamp(options.pipe.outside.value() / layout_.scale(), 1.4, 4.5)} {
  double least = 100;
  for (std::size_t i = 0; i < prop.frame.stations().size(); ++i) {
    for (const prop::Neighbour& next : prop.frame.neighbours(base::StationIndex::of(i))) {
      least = std::min(least, next.along.value() / layout_.scale());
    }
  }
  pitch_ = least;
  dot_ = std::clamp(0.3 * least, 0.35, 1.05);
}

double Drawing::legend_height() const { return 4.4 * static_cast<double>(legend_rows_) + 9; }

std::size_t Drawing::legend_rows(const engine::PlannedProp& prop) {
  const std::size_t rows = (std::min(prop.map.runs().size(), kMostRuns) + kColumns - 1) / kColumns;
  return rows + 3;
}

std::string Drawing::write() {
  draw_bars();
  draw_runs();
  draw_splices();
  draw_tie_back();
  draw_stations();
  mark_leads();
  label_splices();
  flag_runs();
  number_pixels();
  name_joints();

  const std::string words = side_ == prop::Side::kFront ? "FRONT" : "BACK";
  const double height = kHead + layout_.height() + legend_height();
  std::string svg = "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"pw-drawing\" width=\"" +
                    rounded(kPaperWidth, 2) + "mm\" height=\"" + rounded(height, 2) +
                    "mm\" viewBox=\"0 0 " + rounded(kPaperWidth, 2) + ' ' + rounded(height, 2) +
                    "\" role=\"img\">\n<title>" + escaped(prop_.name) + ", " + words +
                    "</title>\n<desc>" + escaped(description()) + "</desc>\n<style>" + kStyle +
                    "</style>\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n";
  svg += "<text class=\"pw-side\" x=\"0\" y=\"6\">" + words + "</text>";
  const double right_of_side = words == "FRONT" ? 27 : 23;
  svg += "<text class=\"pw-note\" x=\"" + rounded(right_of_side, 2) + "\" y=\"3.4\">" +
         escaped(prop_.name) +
         (side_ == prop::Side::kFront ? ", as it is seen from the street"
                                      : ", as it is wired: left and right are exchanged") +
         "</text><text class=\"pw-note\" x=\"" + rounded(right_of_side, 2) +
         "\" y=\"7\">Scale 1:" + rounded(layout_.scale(), 1) + " when printed at 100 %" +
         (prop_.turned ? "; drawn upright, it hangs upside down" : "") + "</text>\n";
  svg += "<g transform=\"translate(0 " + rounded(kHead, 2) + ")\">\n" + under_ + over_ + "</g>\n";
  svg += "<g transform=\"translate(0 " + rounded(kHead + layout_.height(), 2) + ")\">\n" +
         legend() + "</g>\n</svg>\n";
  return svg;
}

std::string Drawing::description() const {
  const wiring::PixelMap& map = prop_.map;
  std::string text =
      counted(map.size(), "pixel", "pixels") + " in " + counted(map.runs().size(), "run", "runs") +
      ", " + counted(map.count(wiring::ReachedBy::kHop), "hop", "hops") + " and " +
      counted(map.count(wiring::ReachedBy::kJump), "jump", "jumps") +
      (side_ == prop::Side::kFront ? ", seen from the front." : ", seen from the back.");
  if (map.size() > 0) {
    text += " Pixel 1: " + prop::place_in_words(prop_.frame, station(1), side_) + ". Pixel " +
            std::to_string(map.size()) + ": " +
            prop::place_in_words(prop_.frame, station(map.size()), side_) + '.';
  }
  return text;
}

void Drawing::block_line(const std::vector<Spot>& line, double width) {
  const double length = length_of(line);
  const double step = std::max(1.5, length / 4000);
  for (double way = 0; way <= length; way += step) {
    placer_.block(box_around(along(line, way).at, width, width));
  }
}

void Drawing::draw_bars() {
  std::string pipes;
  std::string bores;
  for (const prop::Bar& bar : prop_.frame.bars()) {
    std::vector<base::Point> points{prop_.frame[bar.from].at};
    for (const base::StationIndex inside : bar.inside) points.push_back(prop_.frame[inside].at);
    points.push_back(prop_.frame[bar.to].at);
    const std::vector<Spot> line = straightened(layout_.spots(points));
    const bool is_pipe = prop_.frame[bar.section].kind != prop::ShapeKind::kPoints;
    const double width = is_pipe ? pipe_ : 0.5;
    const std::string text = points_text(line);
    pipes += "<polyline class=\"pw-pipe\" stroke-width=\"" + rounded(width, 2) + "\" points=\"" +
             text + "\"/>\n";
    if (is_pipe) {
      bores += "<polyline class=\"pw-bore\" stroke-width=\"" + rounded(width - 0.5, 2) +
               "\" points=\"" + text + "\"/>\n";
    }
    block_line(line, is_pipe ? pipe_ : 1.2);
  }
  under_ += pipes + bores;
}

void Drawing::chevron(const Along& here, double size) {
  const Spot to = here.towards;
  const Spot tip{here.at.x + to.x * size / 2, here.at.y + to.y * size / 2};
  const auto wing = [&here, &to, size](double hand) {
    return Spot{here.at.x - to.x * size / 2 - hand * to.y * size / 2,
                here.at.y - to.y * size / 2 + hand * to.x * size / 2};
  };
  under_ += "<polygon points=\"" + points_text({tip, wing(1), wing(-1)}) + "\"/>\n";
}

void Drawing::draw_runs() {
  constexpr double kBetweenArrows = 28;
  const auto& runs = prop_.map.runs();
  for (std::size_t r = 0; r < runs.size(); ++r) {
    std::vector<Spot> line;
    double until_arrow = 0;
    const auto flush = [this, &line, r] {
      if (line.size() > 1) {
        const std::string_view dashes = stroke_of(r + 1);
        under_ += "<polyline class=\"pw-run\"" +
                  (dashes.empty() ? "" : " stroke-dasharray=\"" + std::string{dashes} + '"') +
                  " points=\"" + points_text(straightened(line)) + "\"/>\n";
      }
      line.clear();
    };
    for (std::size_t i = runs[r].first.value(); i <= runs[r].last.value(); ++i) {
      const Spot here = spot_of(i);
      if (i > runs[r].first.value()) {
        const auto way = prop_.map.reached_by(base::PixelIndex::of(i));
        if (way == wiring::ReachedBy::kRun) {
          const Spot before = spot_of(i - 1);
          until_arrow -= length_of(before, here);
          if (until_arrow < 0) {
            chevron({{(before.x + here.x) / 2, (before.y + here.y) / 2}, direction(before, here)},
                    std::clamp(pitch_ * 0.4, 1.0, 1.7));
            until_arrow = kBetweenArrows;
          }
        } else {
          flush();
          until_arrow = 0;
        }
      }
      line.push_back(here);
    }
    flush();
  }
}

std::vector<Spot> Drawing::wire(base::PixelIndex from, base::PixelIndex to, double hand) {
  const std::vector<Spot> path = layout_.spots(
      prop::shortest_path(prop_.frame, prop_.map.station_of(from), prop_.map.station_of(to)));
  // The next lane that none of its stretches has a wire in yet.
  const auto key = [](Spot spot) {
    return std::pair{std::llround(spot.x * 100), std::llround(spot.y * 100)};
  };
  std::set<Stretch> mine;
  for (std::size_t i = 1; i < path.size(); ++i) {
    mine.insert(std::minmax(key(path[i - 1]), key(path[i])));
  }
  std::size_t lane = 0;
  const auto crowded = [&mine](const std::set<Stretch>& taken) {
    return std::any_of(mine.begin(), mine.end(),
                       [&taken](const Stretch& stretch) { return taken.count(stretch) > 0; });
  };
  while (lane < lanes_.size() && crowded(lanes_[lane])) ++lane;
  if (lane == lanes_.size()) lanes_.emplace_back();
  lanes_[lane].insert(mine.begin(), mine.end());
  constexpr double kLane = 1.3;
  const double away = pipe_ / 2 + 0.9 + kLane * static_cast<double>(lane);
  std::vector<Spot> line = beside(straightened(path), hand * away);
  block_line(line, 0.9);
  return line;
}

void Drawing::draw_splices() {
  for (const wiring::Splice& splice : prop_.map.splices()) {
    const std::vector<Spot> line = wire(splice.from, splice.from.next(), 1);
    under_ += "<polyline class=\"pw-splice\" points=\"" + points_text(line) + "\"/>\n";
    chevron(along(line, length_of(line) * 0.6), 1.6);
    splice_lines_.push_back(line);
  }
}

void Drawing::draw_tie_back() {
  const auto& feeds = prop_.power.feeds;
  const bool has = std::any_of(feeds.begin(), feeds.end(), [](const power::Feed& feed) {
    return feed.kind == power::Feed::Kind::kTieBack;
  });
  if (!has || prop_.map.size() < 2) return;
  tie_line_ = wire(base::PixelIndex::of(1), base::PixelIndex::of(prop_.map.size()), -1);
  under_ += "<polyline class=\"pw-tie\" points=\"" + points_text(tie_line_) + "\"/>\n";
}

void Drawing::draw_stations() {
  for (std::size_t i = 0; i < prop_.frame.stations().size(); ++i) {
    const auto index = base::StationIndex::of(i);
    const Spot at = layout_.spot(prop_.frame[index].at);
    const auto pixel = prop_.map.pixel_of(index);
    placer_.block(box_around(at, 2 * dot_, 2 * dot_));
    if (!pixel) {
      const double d = dot_;
      under_ += "<path class=\"pw-empty\" d=\"M" + points_text({{at.x - d, at.y - d}}) + " L" +
                points_text({{at.x + d, at.y + d}}) + " M" + points_text({{at.x - d, at.y + d}}) +
                " L" + points_text({{at.x + d, at.y - d}}) + "\"/>\n";
      continue;
    }
    const char* kind = is_end_of_run(pixel->value()) ? "pw-end" : "pw-pixel";
    under_ += std::string{"<circle class=\""} + kind + "\" cx=\"" + rounded(at.x, 2) + "\" cy=\"" +
              rounded(at.y, 2) + "\" r=\"" + rounded(dot_, 2) + "\"/>\n";
  }
}

std::string drawing_svg(const engine::PlannedProp& prop, prop::Side side,
                        const DrawingOptions& options) {
  return Drawing{prop, side, options}.write();
}

}  // namespace panewalk::sheet
