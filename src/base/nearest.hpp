#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace panewalk::base {

/// Edits (insert, delete, replace, swap of neighbours) that turn one word into the other.
std::size_t edits_between(std::string_view a, std::string_view b);

/// The known word nearest to `found`, if it is near enough to be what was meant: at most a third of
/// its letters, never more than 3, differ; capital or small is no difference. A word of two
/// letters, such as a joint's name, has no near one else. The first of equals.
std::optional<std::string> nearest(std::string_view found, const std::vector<std::string>& known);

/// `did you mean "x"?` where one is near, else `allowed: "a" or "b"` (all of them).
std::string name_hint(std::string_view found, const std::vector<std::string>& known);

}  // namespace panewalk::base
