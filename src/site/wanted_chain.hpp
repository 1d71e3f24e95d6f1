#pragma once

#include <string>
#include <vector>

#include "config/site_file.hpp"
#include "practice/fault.hpp"
#include "site/route_text.hpp"

namespace panewalk::site {

/// What a prop file would have to say of the chain that was wired.
struct WantedChain {
  int nulls = 0;
  std::vector<StationIndex> order;     ///< of the stations, as the data comes through them
  std::vector<wiring::Spares> spares;  ///< by place
  /// Ways of the runs that may come to this order, the likeliest first.
  std::vector<std::vector<WantedRun>> ways;
};

/// `runs`: the route as it reads now, found or implied ones too. `wired`: the sound prop with the
/// fault.
WantedChain wanted_chain(const practice::Subject& subject, const practice::Chain& wired,
                         const practice::Fault& fault, const std::vector<std::string>& runs);

/// The texts of the runs that the prop has, whether a person wrote them or not.
std::vector<std::string> runs_of(const prop::Frame& frame, const wiring::PixelMap& map,
                                 const wiring::WiringDescription& wiring);

/// The text of a prop file that says so; none where it can't be said, or lies in the site's nulls.
/// `file` is what `text` says.
std::optional<std::string> put_chain(const std::string& text, const config::PropFile& file,
                                     const prop::Frame& frame, const std::vector<std::string>& runs,
                                     const WantedChain& wanted);

}  // namespace panewalk::site
