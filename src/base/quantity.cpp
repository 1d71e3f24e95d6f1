#include "base/quantity.hpp"

#include <cmath>

namespace panewalk::base {

Millimetres distance(Point a, Point b) {
  return Millimetres::of(std::hypot((a.x - b.x).value(), (a.y - b.y).value()));
}

}  // namespace panewalk::base
