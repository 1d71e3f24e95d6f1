#include "sheet/placer.hpp"

#include <algorithm>
#include <limits>

namespace panewalk::sheet {
namespace {

constexpr double kCell = 8;       // mm
constexpr double kOffPaper = 50;  // as bad as this many mm² of line covered, for each mm²
constexpr double kOnLabel = 20;
constexpr double kFree = 1e-9;  // rounding covers nothing

double shared(const Box& a, const Box& b) {
  const double across = std::min(a.right, b.right) - std::max(a.left, b.left);
  const double down = std::min(a.bottom, b.bottom) - std::max(a.top, b.top);
  return across > 0 && down > 0 ? across * down : 0;
}

double area(const Box& box) { return (box.right - box.left) * (box.bottom - box.top); }

std::size_t cell_of(double at, std::size_t cells) {
  if (!(at > 0)) return 0;
  return std::min(static_cast<std::size_t>(at / kCell), cells - 1);
}

}  // namespace

Box box_around(Spot middle, double width, double height) {
  return {middle.x - width / 2, middle.y - height / 2, middle.x + width / 2, middle.y + height / 2};
}

Placer::Placer(double width, double height)
    : width_{width},
      height_{height},
      across_{static_cast<std::size_t>(width / kCell) + 1},
      down_{static_cast<std::size_t>(height / kCell) + 1},
      cells_(across_ * down_) {}

template <class Visit>
void Placer::visit_cells(const Box& box, const Visit& visit) const {
  for (std::size_t y = cell_of(box.top, down_); y <= cell_of(box.bottom, down_); ++y) {
    for (std::size_t x = cell_of(box.left, across_); x <= cell_of(box.right, across_); ++x) {
      visit(y * across_ + x);
    }
  }
}

void Placer::add(const Box& box, Kind kind) {
  visit_cells(box, [this](std::size_t cell) { cells_[cell].push_back(taken_.size()); });
  taken_.push_back({box, kind});
}

double Placer::covers(const Box& box) const {
  const Box paper{0, 0, width_, height_};
  double cost = (area(box) - shared(box, paper)) * kOffPaper;
  // One that lies in two cells counts twice: all the same for a choice.
  visit_cells(box, [this, &box, &cost](std::size_t cell) {
    for (const std::size_t index : cells_[cell]) {
      const Taken& other = taken_[index];
      cost += shared(box, other.box) * (other.kind == kLabel ? kOnLabel : 1);
    }
  });
  return cost;
}

std::optional<Box> Placer::place(const std::vector<Box>& candidates, bool must) {
  double least = std::numeric_limits<double>::infinity();
  std::optional<Box> best;
  for (const Box& candidate : candidates) {
    const double cost = covers(candidate);
    if (cost < least) {
      least = cost;
      best = candidate;
    }
    if (cost < kFree) break;
  }
  if (!best || (least >= kFree && !must)) return std::nullopt;
  add(*best, kLabel);
  return best;
}

}  // namespace panewalk::sheet
