#pragma once

#include <string>
#include <vector>

#include "find/finder.hpp"

/// What else it can be.
namespace panewalk::find {

/// "62 %", ">99 %", "<1 %": never "100 %" nor "0 %".
std::string percent(double share);

/// One line a kind, likeliest first, each with the test that would tell: "a sag under load at any
/// pixel (14 %), which light can't tell from it: …".
std::vector<std::string> also_lines(const practice::Subject& subject, const Finding& finding);

}  // namespace panewalk::find
