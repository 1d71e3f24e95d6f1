#include "sheet/layout.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "sheet/text.hpp"

namespace panewalk::sheet {

double round_scale(double least) {
  constexpr std::array kSteps{1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0};
  constexpr double kRounding = 1e-9;
  for (double ten = 1; ten < 1e9; ten *= 10) {
    for (const double step : kSteps) {
      if (step * ten >= least * (1 - kRounding)) return step * ten;
    }
  }
  return least;
}

Layout::Layout(const prop::Frame& frame, prop::Side side, double width, double height)
    : side_{side}, least_{frame.stations().front().at}, width_{width} {
  base::Point most = least_;
  for (const prop::Station& station : frame.stations()) {
    least_ = {std::min(least_.x, station.at.x), std::min(least_.y, station.at.y)};
    most = {std::max(most.x, station.at.x), std::max(most.y, station.at.y)};
  }
  frame_width_ = (most.x - least_.x).value();
  const double frame_height = (most.y - least_.y).value();
  scale_ = round_scale(
      std::max({1.0, frame_width_ / (width - 2 * kMargin), frame_height / (height - 2 * kMargin)}));
  left_ = (width - frame_width_ / scale_) / 2;
  height_ = frame_height / scale_ + 2 * kMargin;
}

Spot Layout::spot(base::Point at) const {
  double x = (at.x - least_.x).value();
  if (side_ == prop::Side::kBack) x = frame_width_ - x;
  return {left_ + x / scale_, kMargin + (at.y - least_.y).value() / scale_};
}

std::vector<Spot> Layout::spots(const std::vector<base::Point>& points) const {
  std::vector<Spot> all;
  for (const base::Point point : points) all.push_back(spot(point));
  return all;
}

double length_of(Spot from, Spot to) { return std::hypot(to.x - from.x, to.y - from.y); }

Spot direction(Spot from, Spot to) {
  const double length = length_of(from, to);
  if (length <= 0) return {1, 0};
  return {(to.x - from.x) / length, (to.y - from.y) / length};
}

std::vector<Spot> straightened(const std::vector<Spot>& line) {
  constexpr double kSame = 1e-3;  // mm, and sine of the bend
  std::vector<Spot> all;
  for (const Spot spot : line) {
    if (!all.empty() && length_of(all.back(), spot) < kSame) continue;
    if (all.size() > 1) {
      const Spot before = direction(all[all.size() - 2], all.back());
      const Spot after = direction(all.back(), spot);
      const bool ahead = before.x * after.x + before.y * after.y > 0;
      if (ahead && std::abs(before.x * after.y - before.y * after.x) < kSame) all.pop_back();
    }
    all.push_back(spot);
  }
  return all;
}

std::vector<Spot> beside(const std::vector<Spot>& line, double by) {
  if (line.size() < 2) return line;
  std::vector<Spot> all{line.front()};
  for (std::size_t i = 0; i < line.size(); ++i) {
    const Spot in = i > 0 ? direction(line[i - 1], line[i]) : direction(line[i], line[i + 1]);
    const Spot out = i + 1 < line.size() ? direction(line[i], line[i + 1]) : in;
    const Spot sum{in.x + out.x, in.y + out.y};
    // Cut off at twice the distance where the line turns sharply back.
    const double share = std::max(0.5, (1 + in.x * out.x + in.y * out.y) / 2);
    const double length = std::hypot(sum.x, sum.y);
    const Spot tangent = length > 0 ? Spot{sum.x / length, sum.y / length} : in;
    const double far = by / std::sqrt(share);
    all.push_back({line[i].x - tangent.y * far, line[i].y + tangent.x * far});
  }
  all.push_back(line.back());
  return all;
}

double length_of(const std::vector<Spot>& line) {
  double length = 0;
  for (std::size_t i = 1; i < line.size(); ++i) length += length_of(line[i - 1], line[i]);
  return length;
}

Along along(const std::vector<Spot>& line, double way) {
  for (std::size_t i = 1; i < line.size(); ++i) {
    const double length = length_of(line[i - 1], line[i]);
    const Spot towards = direction(line[i - 1], line[i]);
    if (way <= length || i + 1 == line.size()) {
      return {{line[i - 1].x + towards.x * way, line[i - 1].y + towards.y * way}, towards};
    }
    way -= length;
  }
  return {line.empty() ? Spot{} : line.front(), {1, 0}};
}

std::string points_text(const std::vector<Spot>& line) {
  std::string all;
  for (const Spot spot : line) {
    all += (all.empty() ? "" : " ") + rounded(spot.x, 2) + ',' + rounded(spot.y, 2);
  }
  return all;
}

}  // namespace panewalk::sheet
