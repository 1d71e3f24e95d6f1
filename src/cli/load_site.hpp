#pragma once

#include <optional>
#include <string>

#include "cli/console.hpp"
#include "site/load.hpp"

namespace panewalk::cli {

/// The real files, as site::load wants them.
site::Sources files_on_disk();

/// Prints every problem to standard error, one a line. Nothing where there are any.
std::optional<site::Site> load_site(const std::string& path, Console& console);

void print(const base::Problems& problems, Console& console);

/// The index of a prop by name; nothing, with the known names on standard error, for another.
std::optional<std::size_t> find_prop(const engine::Plan& plan, const std::string& name,
                                     Console& console);

/// The pipe that the prop's file tells of, for a prop of the plan; `path` is the site's.
prop::PipeDescription pipe_of(const site::Site& site, const std::string& path, std::size_t prop);

}  // namespace panewalk::cli
