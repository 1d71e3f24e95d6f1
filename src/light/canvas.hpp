#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "light/colour.hpp"

namespace panewalk::light {

/// The light of every prop of a plan, each in its data order. Sized once.
class Canvas {
 public:
  Canvas() = default;
  /// One stretch a prop, `pixels[i]` long, all black.
  explicit Canvas(std::span<const std::size_t> pixels);

  [[nodiscard]] std::size_t props() const { return props_.size(); }
  [[nodiscard]] std::span<Colour> prop(std::size_t index) { return props_[index]; }
  [[nodiscard]] std::span<const Colour> prop(std::size_t index) const { return props_[index]; }
  /// Each gets the other's light of that prop, in no time. Both canvases have the same shape.
  void exchange(std::size_t prop, Canvas& other) { props_[prop].swap(other.props_[prop]); }

 private:
  std::vector<std::vector<Colour>> props_;
};

}  // namespace panewalk::light
