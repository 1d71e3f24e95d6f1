#pragma once

#include <string>
#include <vector>

/// What a person wrote about the order in which the data visits the stations.
namespace panewalk::wiring {

/// Pixels in the chain at no station, behind the frame.
struct Spares {
  int after = 0;  ///< the index of the pixel before them
  int count = 0;
  bool operator==(const Spares&) const = default;
};

struct WiringDescription {
  std::vector<std::string>
      route;                    ///< one string a run; empty where only `points` sections need none
  bool fewest_splices = false;  ///< the file asks for the route to be found
  std::vector<Spares> spares;
  bool operator==(const WiringDescription&) const = default;
};

}  // namespace panewalk::wiring
