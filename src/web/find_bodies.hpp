#pragma once

#include <optional>
#include <string>

#include "web/searches.hpp"

/// The JSON of the fault finder.
namespace panewalk::web {

/// `may_accept`: the correction may be written into its file by a call.
std::string find_body(const Search& search, bool may_accept);
/// {"asked": "show", …}; without a picture all of them follow each other.
std::string shown_body(const check::FindState& state, int question, std::optional<int> picture,
                       std::size_t pictures);

}  // namespace panewalk::web
