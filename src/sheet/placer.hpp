#pragma once

#include <optional>
#include <vector>

namespace panewalk::sheet {

/// On paper, in mm from its top left corner, y down.
struct Spot {
  double x = 0, y = 0;
};

struct Box {
  double left = 0, top = 0, right = 0, bottom = 0;
  [[nodiscard]] Spot middle() const { return {(left + right) / 2, (top + bottom) / 2}; }
};

/// The box of a size around its middle.
Box box_around(Spot middle, double width, double height);

/// Finds room for labels so that none covers another.
class Placer {
 public:
  /// The size of the paper, in mm.
  Placer(double width, double height);

  /// What a label should not cover: a piece of a line, a station.
  void block(const Box& box) { add(box, kLine); }

  /// The first of the candidates that is free, and takes it. Where none is: with `must` the one
  /// that covers least, else none.
  std::optional<Box> place(const std::vector<Box>& candidates, bool must);

 private:
  enum Kind { kLine, kLabel };
  struct Taken {
    Box box;
    Kind kind = kLine;
  };

  void add(const Box& box, Kind kind);
  [[nodiscard]] double covers(const Box& box) const;
  template <class Visit>
  void visit_cells(const Box& box, const Visit& visit) const;

  double width_, height_;
  std::size_t across_, down_;
  std::vector<Taken> taken_;
  std::vector<std::vector<std::size_t>> cells_;  // which of `taken_` touch a square of the paper
};

}  // namespace panewalk::sheet
