#pragma once

#include <optional>

#include "base/result.hpp"
#include "io/socket_address.hpp"

namespace panewalk::io {

/// How this machine would send a packet.
struct Route {
  int card = 0;  ///< the number of the network card
  Host from{};
};

/// Asks the system, which sends nothing. `card` 0 and no `from` leave the choice to it. The errno
/// where no way leads there.
base::Result<Route, int> route_to(const Host& to, int card, const std::optional<Host>& from);

}  // namespace panewalk::io
