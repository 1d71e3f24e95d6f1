#include "light/canvas.hpp"

namespace panewalk::light {

Canvas::Canvas(std::span<const std::size_t> pixels) {
  props_.reserve(pixels.size());
  for (const std::size_t count : pixels) props_.emplace_back(count);
}

}  // namespace panewalk::light
