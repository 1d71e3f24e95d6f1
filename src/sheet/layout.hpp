#pragma once

#include <string>
#include <vector>

#include "engine/plan.hpp"
#include "prop/place_words.hpp"
#include "sheet/placer.hpp"

namespace panewalk::sheet {

/// Where the places of a frame come to lie on paper.
class Layout {
 public:
  /// The paper is `width` mm wide; the frame takes at most `height` mm of it, with a margin all
  /// round for labels.
  Layout(const prop::Frame& frame, prop::Side side, double width, double height);

  static constexpr double kMargin = 13;  ///< mm

  [[nodiscard]] Spot spot(base::Point at) const;
  [[nodiscard]] std::vector<Spot> spots(const std::vector<base::Point>& points) const;
  /// 1 mm on paper is this many on the frame.
  [[nodiscard]] double scale() const { return scale_; }
  [[nodiscard]] double width() const { return width_; }
  [[nodiscard]] double height() const { return height_; }  ///< as used, margins included
  [[nodiscard]] Spot middle() const { return {width_ / 2, height_ / 2}; }

 private:
  prop::Side side_;
  base::Point least_;
  double frame_width_ = 0;
  double scale_ = 1;
  double width_, height_ = 0;
  double left_ = 0;  // of the frame, on paper
};

/// 1, 1.5, 2, 2.5, 3 … 9 and these by ten, a hundred …: the smallest not below `least`.
double round_scale(double least);

double length_of(Spot from, Spot to);
/// Of length 1; nothing to right where the two are one.
Spot direction(Spot from, Spot to);

/// Without what lies in a straight line between its neighbours, and without repeats.
std::vector<Spot> straightened(const std::vector<Spot>& line);
/// The line moved `by` mm to its right hand (y down), from its own first to its own last spot.
std::vector<Spot> beside(const std::vector<Spot>& line, double by);
/// A spot this far along the line, and where the line goes there.
struct Along {
  Spot at, towards;
};
Along along(const std::vector<Spot>& line, double way);
double length_of(const std::vector<Spot>& line);

/// "12.5,3 20,3", to the hundredth of a mm.
std::string points_text(const std::vector<Spot>& line);

}  // namespace panewalk::sheet
