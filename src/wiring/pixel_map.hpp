#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "base/quantity.hpp"
#include "prop/frame.hpp"
#include "wiring/description.hpp"

namespace panewalk::wiring {

using base::Millimetres;
using base::PixelIndex;
using base::StationIndex;

/// How the data comes to a pixel from the one before.
enum class ReachedBy {
  kLeadIn,  ///< the first
  kRun,     ///< their stations are neighbours on a bar
  kHop,     ///< over the one joint (or empty place) that lies between them
  kJump,    ///< from another place on the frame
};

/// "lead-in", "run", "hop", "jump".
std::string_view to_text(ReachedBy way);

/// A run of the route as the builder wrote it: pixels first … last, both included.
struct Run {
  PixelIndex first, last;
};

/// A cut in the data: the wire from `from` to the pixel after it.
struct Splice {
  PixelIndex from;
  ReachedBy way = ReachedBy::kJump;  ///< kHop or kJump
  Millimetres wire;                  ///< the shortest way along the bars
};

/// The data meets a joint whose pixel another pass takes, or has taken.
struct Pass {
  StationIndex joint;
  std::uint32_t after = 0;  ///< pixels taken before it in the data order
};

/// The one place where a station turns into a pixel index and back: a permutation of the stations
/// that carry a pixel.
class PixelMap {
 public:
  [[nodiscard]] std::size_t size() const { return station_of_.size(); }
  /// `pixel` must be 1 … size().
  [[nodiscard]] StationIndex station_of(PixelIndex pixel) const {
    return station_of_[pixel.value() - 1];
  }
  /// Nothing for an empty place.
  [[nodiscard]] std::optional<PixelIndex> pixel_of(StationIndex station) const;
  [[nodiscard]] ReachedBy reached_by(PixelIndex pixel) const {
    return reached_by_[pixel.value() - 1];
  }
  /// From 1, as written.
  [[nodiscard]] int run_of(PixelIndex pixel) const { return run_of_[pixel.value() - 1]; }

  [[nodiscard]] const std::vector<Run>& runs() const { return runs_; }
  [[nodiscard]] const std::vector<Splice>& splices() const { return splices_; }
  [[nodiscard]] const std::vector<Spares>& spares() const { return spares_; }
  /// In the order in which the data meets them.
  [[nodiscard]] const std::vector<Pass>& passes() const { return passes_; }
  [[nodiscard]] std::size_t count(ReachedBy way) const;
  /// The wire of all hops and jumps together.
  [[nodiscard]] Millimetres splice_wire() const;
  /// Chips in the chain before this pixel that are part of the prop but sit at no station.
  [[nodiscard]] int spares_before(PixelIndex pixel) const;
  /// All spares together.
  [[nodiscard]] int spare_count() const;

 private:
  friend class MapBuilder;
  std::vector<StationIndex> station_of_;
  std::vector<std::uint32_t> pixel_of_;  // by station; 0: none
  std::vector<ReachedBy> reached_by_;
  std::vector<int> run_of_;
  std::vector<Run> runs_;
  std::vector<Splice> splices_;
  std::vector<Spares> spares_;
  std::vector<Pass> passes_;
};

/// Reads the route against the frame. Pointers start at "/wiring". Refuses what is missed, doubled
/// or not joined by a bar, each by name.
base::Result<PixelMap> read_route(const prop::Frame& frame, const WiringDescription& wiring);

}  // namespace panewalk::wiring
