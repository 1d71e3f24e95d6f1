#pragma once

#include <set>
#include <string>
#include <utility>
#include <vector>

#include "sheet/drawing.hpp"
#include "sheet/layout.hpp"
#include "sheet/placer.hpp"

namespace panewalk::sheet {

/// The dashes of a run's stroke, "" for a solid one; `run` from 1. They repeat: its flag tells it.
std::string_view stroke_of(std::size_t run);

/// Draws one prop from one side, once. Lines first, then labels where they leave room.
class Drawing {
 public:
  Drawing(const engine::PlannedProp& prop, prop::Side side, const DrawingOptions& options);
  std::string write();

 private:
  static constexpr double kPaperWidth = 184;   // mm: inside the margins of A4 and Letter
  static constexpr double kPaperHeight = 228;  // mm
  static constexpr double kHead = 9;           // mm
  static constexpr std::size_t kColumns = 3;   // of the legend
  static constexpr std::size_t kMostRuns = 45;

  using Stretch = std::pair<std::pair<long long, long long>, std::pair<long long, long long>>;

  // What a label says and how it looks. Text is laid from its middle.
  struct Label {
    std::string text;
    const char* style;
    double size;                  // of its letters, mm
    const char* frame = nullptr;  // style of a rectangle behind it
  };

  static std::size_t legend_rows(const engine::PlannedProp& prop);
  [[nodiscard]] double legend_height() const;

  [[nodiscard]] base::StationIndex station(std::size_t pixel) const {
    return prop_.map.station_of(base::PixelIndex::of(pixel));
  }
  [[nodiscard]] Spot spot_of(std::size_t pixel) const {
    return layout_.spot(prop_.frame[station(pixel)].at);
  }
  [[nodiscard]] bool is_end_of_run(std::size_t pixel) const;
  [[nodiscard]] std::string description() const;

  void draw_bars();
  void draw_runs();
  void draw_splices();
  void draw_tie_back();
  void draw_stations();
  void chevron(const Along& here, double size);
  void block_line(const std::vector<Spot>& line, double width);
  /// Behind the bars, in a lane of its own beside the pipe; `hand` 1 right, -1 left.
  std::vector<Spot> wire(base::PixelIndex from, base::PixelIndex to, double hand);

  void mark_leads();
  void label_splices();
  void flag_runs();
  void number_pixels();
  void name_joints();
  /// False where there is no room and it need not be.
  bool put(const Label& label, Spot anchor, const std::vector<Spot>& away, double nearest,
           bool must);
  /// Directions from a station in which a label may lie, the best first.
  [[nodiscard]] std::vector<Spot> ways_off(base::StationIndex station) const;
  [[nodiscard]] std::string legend() const;

  const engine::PlannedProp& prop_;
  prop::Side side_;
  DrawingOptions options_;
  std::size_t legend_rows_;
  Layout layout_;
  Placer placer_;
  double pipe_;       // its width on paper, mm
  double pitch_ = 0;  // the smallest on paper, mm
  double dot_ = 0;    // radius of a station, mm
  std::vector<std::set<Stretch>> lanes_;
  std::vector<std::vector<Spot>> splice_lines_;
  std::vector<Spot> tie_line_;
  std::string under_, over_;
};

}  // namespace panewalk::sheet
