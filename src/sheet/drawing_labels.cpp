#include <algorithm>
#include <array>
#include <cmath>

#include "sheet/drawing_parts.hpp"

namespace panewalk::sheet {
namespace {

// A wide sans-serif face, so that others fit too; in heights of a letter.
constexpr double kLetterWidth = 0.66;
constexpr double kLetterHeight = 0.78;

std::size_t letters_in(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char letter) {
    return (static_cast<unsigned char>(letter) & 0xC0U) != 0x80U;
  }));
}

/// Sixteen directions, the best first and the others by how far they turn off it.
std::vector<Spot> all_round(Spot best) {
  std::vector<Spot> all;
  const double start = std::atan2(best.y, best.x);
  constexpr double kSixteenth = 0.39269908169872414;
  for (int turns = 0; turns <= 8; ++turns) {
    for (const int hand : {1, -1}) {
      if (hand < 0 && turns % 8 == 0) continue;
      const double angle = start + hand * turns * kSixteenth;
      all.push_back({std::cos(angle), std::sin(angle)});
    }
  }
  return all;
}

}  // namespace

bool Drawing::is_end_of_run(std::size_t pixel) const {
  const wiring::Run& run =
      prop_.map.runs()[static_cast<std::size_t>(prop_.map.run_of(base::PixelIndex::of(pixel))) - 1];
  return run.first.value() == pixel || run.last.value() == pixel;
}

bool Drawing::put(const Label& label, Spot anchor, const std::vector<Spot>& away, double nearest,
                  bool must) {
  const double pad = label.frame != nullptr ? 0.7 : 0.15;
  const double width =
      static_cast<double>(letters_in(label.text)) * kLetterWidth * label.size + 2 * pad;
  const double height = kLetterHeight * label.size + 2 * pad;
  std::vector<Box> candidates;
  for (const double further : {0.3, 1.2, 2.2, 3.4, 4.8, 6.5, 9.0, 12.0, 16.0, 21.0}) {
    if (!must && further > 1.5) break;
    for (const Spot way : away) {
      const double reach =
          nearest + further + std::abs(way.x) * width / 2 + std::abs(way.y) * height / 2;
      candidates.push_back(
          box_around({anchor.x + way.x * reach, anchor.y + way.y * reach}, width, height));
    }
  }
  const auto box = placer_.place(candidates, must);
  if (!box) return false;
  const Spot at = box->middle();
  const double gap = length_of(anchor, at) - std::hypot(width, height) / 2 - nearest;
  if (gap > 2) {
    const Spot towards = direction(anchor, at);
    const Spot begin{anchor.x + towards.x * dot_, anchor.y + towards.y * dot_};
    const double back = std::min(std::abs(towards.x) > 0 ? width / 2 / std::abs(towards.x) : 1e9,
                                 std::abs(towards.y) > 0 ? height / 2 / std::abs(towards.y) : 1e9);
    const Spot end{at.x - towards.x * back, at.y - towards.y * back};
    under_ += "<polyline class=\"pw-leader\" fill=\"none\" points=\"" + points_text({begin, end}) +
              "\"/>\n";
  }
  if (label.frame != nullptr) {
    over_ += std::string{"<rect class=\""} + label.frame + "\" x=\"" + rounded(box->left, 2) +
             "\" y=\"" + rounded(box->top, 2) + "\" width=\"" + rounded(width, 2) + "\" height=\"" +
             rounded(height, 2) + "\" rx=\".6\"/>";
  }
  over_ += std::string{"<text class=\""} + label.style + "\" text-anchor=\"middle\" x=\"" +
           rounded(at.x, 2) + "\" y=\"" + rounded(at.y + 0.36 * label.size, 2) + "\">" +
           escaped(label.text) + "</text>\n";
  return true;
}

std::vector<Spot> Drawing::ways_off(base::StationIndex station) const {
  const Spot here = layout_.spot(prop_.frame[station].at);
  const auto& neighbours = prop_.frame.neighbours(station);
  Spot across{0, 1};
  if (!neighbours.empty()) {
    const Spot next = layout_.spot(prop_.frame[neighbours.front().station].at);
    const Spot towards = direction(here, next);
    across = {-towards.y, towards.x};
  }
  // Outwards first.
  const Spot middle = layout_.middle();
  const double outwards = across.x * (here.x - middle.x) + across.y * (here.y - middle.y);
  if (outwards < 0) across = {-across.x, -across.y};
  std::vector<Spot> all = all_round(across);
  std::swap(all[1], all.back());  // the other side of the bar before aslant
  return all;
}

void Drawing::mark_leads() {
  if (prop_.map.size() == 0) return;
  put({.text = "LEAD-IN to 1", .style = "pw-flag-text", .size = 2.5, .frame = "pw-flag"},
      spot_of(1), ways_off(station(1)), pipe_ / 2 + 2, true);
  const std::size_t last = prop_.map.size();
  put({.text = "LAST " + std::to_string(last) + ", lead-out",
       .style = "pw-flag-text",
       .size = 2.5,
       .frame = "pw-flag"},
      spot_of(last), ways_off(station(last)), pipe_ / 2 + 2, true);
  for (const power::Feed& feed : prop_.power.feeds) {
    if (feed.kind != power::Feed::Kind::kInjection) continue;
    const auto at = prop_.frame.find_station(feed.at);
    if (!at) continue;
    put({.text = "POWER IN", .style = "pw-tag-text", .size = 2.4, .frame = "pw-tag"},
        layout_.spot(prop_.frame[*at].at), ways_off(*at), pipe_ / 2 + 1, true);
  }
}

void Drawing::label_splices() {
  const auto& splices = prop_.map.splices();
  for (std::size_t i = 0; i < splices.size(); ++i) {
    const std::vector<Spot>& line = splice_lines_[i];
    const Along middle = along(line, length_of(line) / 2);
    put({.text = "S" + std::to_string(i + 1) + ' ' + std::string{to_text(splices[i].way)} + ' ' +
                 length_text(splices[i].wire, options_.units),
         .style = "pw-tag-text",
         .size = 2.4,
         .frame = "pw-tag"},
        middle.at, all_round({-middle.towards.y, middle.towards.x}), 0.6, true);
  }
  if (tie_line_.empty()) return;
  const Along middle = along(tie_line_, length_of(tie_line_) / 2);
  put({.text = "tie-back", .style = "pw-tag-text", .size = 2.4, .frame = "pw-tag"}, middle.at,
      all_round({middle.towards.y, -middle.towards.x}), 0.6, true);
}

void Drawing::flag_runs() {
  const auto& runs = prop_.map.runs();
  if (runs.size() < 2) return;
  for (std::size_t r = 0; r < runs.size(); ++r) {
    // Between its first two pixels, where its arrow is.
    const std::size_t first = runs[r].first.value();
    Spot at = spot_of(first);
    if (runs[r].last.value() > first) {
      const Spot next = spot_of(first + 1);
      at = {(at.x + next.x) / 2, (at.y + next.y) / 2};
    }
    put({.text = "run " + std::to_string(r + 1),
         .style = "pw-flag-text",
         .size = 2.5,
         .frame = "pw-flag"},
        at, ways_off(station(first)), pipe_ / 2, true);
  }
}

void Drawing::number_pixels() {
  const std::size_t pixels = prop_.map.size();
  std::vector<bool> is_key(pixels + 1, false);
  for (std::size_t i = 1; i <= pixels; ++i) {
    is_key[i] = i == 1 || i == pixels || i % 10 == 0 || is_end_of_run(i);
  }
  for (const wiring::Splice& splice : prop_.map.splices()) {
    is_key[splice.from.value()] = true;
    is_key[splice.from.value() + 1] = true;
  }
  constexpr double kRoomForAll = 2.4;  // mm from pixel to pixel
  for (const bool keys : {true, false}) {
    if (!keys && pitch_ < kRoomForAll) break;
    for (std::size_t i = 1; i <= pixels; ++i) {
      if (is_key[i] != keys) continue;
      put({.text = std::to_string(i),
           .style = keys ? "pw-key" : "pw-index",
           .size = keys ? 2.7 : 2.1},
          spot_of(i), ways_off(station(i)), pipe_ / 2, keys);
    }
  }
}

void Drawing::name_joints() {
  for (const prop::Joint& joint : prop_.frame.joints()) {
    put({.text = joint.name, .style = "pw-joint", .size = 2.5}, layout_.spot(joint.at),
        all_round({0.7071, -0.7071}), pipe_ / 2 - 0.2, false);
  }
}

std::string Drawing::legend() const {
  constexpr double kRow = 4.4;
  std::string all;
  double y = 5;
  const auto text = [&all](double x, double at, const std::string& words) {
    all += "<text class=\"pw-legend\" x=\"" + rounded(x, 2) + "\" y=\"" + rounded(at, 2) + "\">" +
           escaped(words) + "</text>\n";
  };
  const auto line = [&all](const std::string& style, double x, double at) {
    all += "<polyline " + style + " points=\"" + points_text({{x, at}, {x + 12, at}}) + "\"/>";
  };
  const auto& runs = prop_.map.runs();
  const double column = kPaperWidth / kColumns;
  for (std::size_t r = 0; r < std::min(runs.size(), kMostRuns); ++r) {
    const double x = column * static_cast<double>(r % kColumns);
    const std::string dashes{stroke_of(r + 1)};
    line("class=\"pw-run\"" + (dashes.empty() ? "" : " stroke-dasharray=\"" + dashes + '"'), x,
         y - 0.9);
    const auto first = std::to_string(runs[r].first.value());
    const auto last = std::to_string(runs[r].last.value());
    text(x + 14, y,
         "run " + std::to_string(r + 1) + ": " +
             (first == last ? "pixel " + first : "pixels " + first + " to " + last));
    if (r % kColumns + 1 == kColumns || r + 1 == std::min(runs.size(), kMostRuns)) y += kRow;
  }
  if (!splice_lines_.empty()) {
    line("class=\"pw-splice\"", 0, y - 0.9);
    text(14, y, "hop or jump: wire behind the bars");
  }
  if (!tie_line_.empty()) {
    line("class=\"pw-tie\"", 2 * column, y - 0.9);
    text(2 * column + 14, y, "tie-back: power pair");
  }
  if (!splice_lines_.empty() || !tie_line_.empty()) y += kRow;
  all += "<circle class=\"pw-end\" cx=\"6\" cy=\"" + rounded(y - 0.9, 2) + "\" r=\"1\"/>";
  text(14, y, "first or last of a run");
  all += "<circle class=\"pw-pixel\" cx=\"" + rounded(column + 6, 2) + "\" cy=\"" +
         rounded(y - 0.9, 2) + "\" r=\"1\"/>";
  text(column + 14, y, "pixel");
  if (prop_.frame.pixel_count() < prop_.frame.stations().size()) {
    text(2 * column, y, "\xC3\x97  place without a pixel");
  }
  y += kRow;
  // A bar of a round length, at least 25 mm on paper.
  const bool inches = options_.units == Units::kInches;
  const double unit = inches ? 25.4 : 1;
  const double round = round_scale(25 * layout_.scale() / unit);
  const double length = round * unit / layout_.scale();
  all += "<path class=\"pw-way\" d=\"M0," + rounded(y - 2, 2) + " v1.6 M0," + rounded(y - 1.2, 2) +
         " h" + rounded(length, 2) + " m0,-.8 v1.6\"/>";
  text(length + 2, y,
       length_text(base::Millimetres::of(round * unit), options_.units) + " on the prop");
  if (runs.size() > kMostRuns) {
    text(column * 1.5, y,
         "and " + counted(runs.size() - kMostRuns, "run", "runs") + " more, in the wiring steps");
  }
  return all;
}

}  // namespace panewalk::sheet
