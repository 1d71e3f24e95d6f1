#pragma once

#include <string>

namespace panewalk::web {

struct View;

/// What the stream knows of each controller and of itself, and what the ears beside it heard: the
/// JSON of scan::as_json as "seen". On one line, because a flood makes it long.
std::string network_body(const View& view);

}  // namespace panewalk::web
