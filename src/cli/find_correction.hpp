#pragma once

#include "cli/commands.hpp"
#include "cli/find_light.hpp"
#include "find/finder.hpp"
#include "site/load.hpp"

namespace panewalk::cli {

/// Offers the change to the site's files after which they say what was built, where the finding is
/// such that they can; writes it where `asked` or the person at the terminal accepts it, and where
/// the file still reads as it did. False where that could not be done.
bool offer_correction(site::Site site, std::size_t prop, const find::Finding& finding,
                      const FindAsked& asked, Listening& listening, Console& console);

}  // namespace panewalk::cli
