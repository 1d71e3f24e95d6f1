#pragma once

#include "web/response.hpp"

namespace panewalk::web {

/// "/" and all that begins with "/page/". These come to anybody: there is nothing of the site in
/// them.
bool is_of_page(std::string_view target);

/// The page's file that such a target names, and no other: names are compared, not looked up in any
/// folder. `request.host` has passed the gate.
Response page_answer(const Request& request);

}  // namespace panewalk::web
