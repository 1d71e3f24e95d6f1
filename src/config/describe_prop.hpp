#pragma once

#include "config/site_file.hpp"
#include "config/text.hpp"

namespace panewalk::config {

/// What a prop file says, every member checked for form, left-out ones at their default. All
/// problems, with line and column.
base::Result<PropFile> describe_prop(const Tree& tree);

/// The same, but what is sound comes along with what is wrong: a faulty member has a stand-in, and
/// a problem's pointer tells which.
struct PartialProp {
  PropFile file;
  base::Problems problems;
};
PartialProp read_prop(const Tree& tree);

}  // namespace panewalk::config
