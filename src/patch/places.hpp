#pragma once

#include <string>
#include <string_view>
#include <utility>

#include "base/problem.hpp"

namespace panewalk::patch {

inline base::Problem problem(std::string where, std::string what, std::string remedy) {
  base::Problem made;
  made.where = std::move(where);
  made.what = std::move(what);
  made.remedy = std::move(remedy);
  return made;
}

/// The prop, or a member of it, in the site file.
inline std::string prop_place(std::size_t index, std::string_view name = {}) {
  const std::string place = base::element("/props", index);
  return name.empty() ? place : base::member(place, name);
}

/// A member of a controller in the site file.
inline std::string controller_place(std::size_t index, std::string_view name) {
  return base::member(base::element("/controllers", index), name);
}

}  // namespace panewalk::patch
