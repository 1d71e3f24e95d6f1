#pragma once

#include <optional>
#include <string>

#include "base/result.hpp"
#include "io/handle.hpp"
#include "packet/cid.hpp"

namespace panewalk::io {

/// The part of the environment that says where Panewalk keeps things. Empty counts as unset.
struct StatePlaces {
  std::optional<std::string> state_directory;  ///< STATE_DIRECTORY; of several the first
  std::optional<std::string> xdg_state_home;   ///< XDG_STATE_HOME; counts only if absolute
  std::optional<std::string> home;             ///< HOME
  static StatePlaces from_environment();
};

/// The folder for what is kept, made where it is missing.
base::Result<std::string> state_folder(const StatePlaces& places);

/// Who we are on the network, the same for good (E1.31-2018 5.6): read from `cid` in the folder, or
/// made at random and kept there. A file that can't be read or understood is never replaced.
base::Result<packet::Cid> load_or_make_cid(const std::string& folder,
                                           const std::string& name = "cid");

/// The first identity that is kept, for one who only listens: nothing is made where there is none.
std::optional<packet::Cid> kept_cid(const StatePlaces& places);

/// An identity that no other running Panewalk of this folder has: two streams of one identity would
/// mix their sequence numbers, and receivers drop packets then (E1.31-2018 6.7.2).
struct HeldCid {
  packet::Cid cid;
  Handle lock;  ///< as long as it is open
};
/// The first of "cid", "cid-2" … "cid-9" that nobody holds.
base::Result<HeldCid> hold_cid(const std::string& folder);

}  // namespace panewalk::io
