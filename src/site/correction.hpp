#pragma once

#include <string>

#include "base/result.hpp"
#include "practice/fault.hpp"
#include "site/load.hpp"

namespace panewalk::site {

/// A file of the site as it would have to read so that the description fits what was built.
struct Correction {
  std::string file;            ///< its path, as loaded
  std::string before, after;   ///< whole texts; only for a file that still holds `before`
  std::string difference;      ///< unified, with three lines around
  std::string why;             ///< one sentence: what it says now
  bool in_controller = false;  ///< the same can be mended at the controller or its plugs instead
};

/// The one file that has to change where the fault lies in the description rather than in the
/// frame. It is loaded again before it is offered: with it each station is told by the channel that
/// really reaches it, and nothing else of the site moves. The one problem of a refusal says why
/// there is none, and what is to be done instead. Precondition: the fault is one of this prop.
base::Result<Correction> corrected(const Site& site, std::size_t prop,
                                   const practice::Fault& fault);

}  // namespace panewalk::site
