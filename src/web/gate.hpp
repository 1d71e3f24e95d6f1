#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "web/response.hpp"

namespace panewalk::web {

/// Where the server listens, so under which names a call may come.
struct Door {
  std::string address = "127.0.0.1";
  std::uint16_t port = 0;
};

/// "127.0.0.1:7007", "localhost:7007", "[::1]:7007" and the address itself.
std::vector<std::string> names_of(const Door& door);

/// The answer to a call that does not come to this door by name (a page elsewhere that points its
/// own name here), or that a page of another origin makes. Nothing where it may come in.
std::optional<Response> turned_away(const Request& request, const Door& door);

}  // namespace panewalk::web
