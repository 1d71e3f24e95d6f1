#include "light/canvas.hpp"

namespace panewalk::light {

Canvas::Canvas(std::span<const std::size_t> pixels) {
  starts_.reserve(pixels.size() + 1);
  std::size_t end = 0;
  starts_.push_back(end);
  for (const std::size_t count : pixels) starts_.push_back(end += count);
  colours_.resize(end);
}

}  // namespace panewalk::light
