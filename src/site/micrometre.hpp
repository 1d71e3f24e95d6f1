#pragma once

#include <cmath>

#include "base/quantity.hpp"

namespace panewalk::site {

/// In mm. A micrometre is finer than anyone drills, and keeps binary fractions out of the print.
inline double to_micrometre(base::Millimetres length) {
  const double rounded = std::round(length.value() * 1000) / 1000;
  return rounded == 0 ? 0 : rounded;  // no minus zero
}

}  // namespace panewalk::site
