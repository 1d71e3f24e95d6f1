#pragma once

#include <string>
#include <string_view>

#include "base/problem.hpp"

namespace panewalk::engine {
struct Look;
struct Plan;
}  // namespace panewalk::engine

/// The JSON that the API says, fields in a fixed order.
namespace panewalk::web {

struct View;

std::string problems_body(const base::Problems& problems);
std::string site_body(const View& view);
std::string patterns_body(const engine::Plan& plan);

/// The state of the light. The counters of frames and packets tick all the time; without them the
/// text is the same as long as nothing else changed.
enum class Counters { kTold, kLeftOut };
enum class Layout { kIndented, kOneLine };
std::string light_body(const View& view, Layout layout, Counters counters = Counters::kTold);

/// {"asked": "dark"}
std::string asked_body(std::string_view what);
/// {"asked": "step", "go": "next"}
std::string step_body(std::string_view go);
/// What was asked, with the level that each prop gets of it.
std::string look_body(const engine::Plan& plan, const engine::Look& look);

}  // namespace panewalk::web
