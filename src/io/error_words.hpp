#pragma once

#include <string>
#include <string_view>

namespace panewalk::io {

/// What the system's error number means for someone who looks for a controller: "nothing listens
/// there". Never allocates.
std::string_view in_words(int error);
/// What to look at next; empty where we know of nothing.
std::string_view remedy_for(int error);

/// The system's own words, for errors of files and the like.
std::string system_text(int error);

}  // namespace panewalk::io
