#pragma once

#include <string>

#include "prop/frame.hpp"

namespace panewalk::wiring {

/// A bound that a builder can check with a pencil. Without some of its joints a frame falls into
/// pieces; a stretch of data that takes each joint once comes through one piece more than it takes
/// joints at most.
struct PiecesBound {
  std::size_t joints = 0, pieces = 0;
  /// Stretches of data without a splice: at least one.
  [[nodiscard]] std::size_t stretches() const { return pieces - joints; }
};
PiecesBound pieces_bound(const prop::Frame& frame);

}  // namespace panewalk::wiring
