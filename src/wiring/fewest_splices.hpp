#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "wiring/pixel_map.hpp"

namespace panewalk::wiring {

/// What a builder may ask of the route besides few splices. Stations must carry a pixel.
struct RouteWishes {
  std::optional<StationIndex> first, last;  ///< where the lead-in comes and the lead-out goes
  std::optional<Millimetres> longest;       ///< most wire of one hop or jump
};

/// The route with the fewest hops and jumps, and among those the one with the least wire, as far as
/// the search came.
struct FoundRoute {
  std::vector<std::string> runs;  ///< as in a file
  PixelMap map;                   ///< as read back from the runs
  [[nodiscard]] std::size_t splices() const { return map.splices().size(); }

  std::size_t fewest = 0;          ///< no route that keeps the wishes has fewer splices
  std::string why;                 ///< the bound in words, a whole sentence
  bool proven = false;             ///< splices() is `fewest`
  bool least_wire_proven = false;  ///< and no route with as many splices needs less wire
  Millimetres least_wire;          ///< none with as many splices needs less than this
};

/// The same answer on every machine: the search counts its steps, not the time. Wire is compared in
/// whole micrometres. Refuses wishes that no route can keep; pointers are "/first", "/last" and
/// "/longest".
base::Result<FoundRoute> find_fewest_splices(const prop::Frame& frame,
                                             const RouteWishes& wishes = {});

}  // namespace panewalk::wiring
