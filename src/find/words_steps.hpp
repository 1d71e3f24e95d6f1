#pragma once

#include <string>
#include <vector>

#include "find/finder.hpp"

/// What to do about it.
namespace panewalk::find {

/// In safe order: what is only read off first, then power off, then hands.
std::vector<std::string> steps_for(const practice::Subject& subject, const Finding& finding,
                                   bool bright);

/// What to light and to see when it is mended.
std::string confirmed_by(const practice::Subject& subject, const practice::Fault& fault);

}  // namespace panewalk::find
