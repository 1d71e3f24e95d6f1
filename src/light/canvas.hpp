#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "light/colour.hpp"

namespace panewalk::light {

/// The light of every prop of a plan side by side in one block, each in its data order. Sized once.
class Canvas {
 public:
  Canvas() = default;
  /// One stretch a prop, `pixels[i]` long, all black.
  explicit Canvas(std::span<const std::size_t> pixels);

  [[nodiscard]] std::size_t props() const { return starts_.empty() ? 0 : starts_.size() - 1; }
  [[nodiscard]] std::span<Colour> prop(std::size_t index) {
    return {colours_.data() + starts_[index], starts_[index + 1] - starts_[index]};
  }
  [[nodiscard]] std::span<const Colour> prop(std::size_t index) const {
    return {colours_.data() + starts_[index], starts_[index + 1] - starts_[index]};
  }

 private:
  std::vector<Colour> colours_;
  std::vector<std::size_t> starts_;
};

}  // namespace panewalk::light
