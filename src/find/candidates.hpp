#pragma once

#include <span>
#include <vector>

#include "find/hypotheses.hpp"
#include "find/question.hpp"

namespace panewalk::find {

struct Weighted {
  const Hypothesis* hypothesis = nullptr;
  double weight = 0;
};

/// Questions that may tell something now. `likely` has the likeliest first; `round` counts the
/// questions asked and varies what is lit, so that a repeated look is another look.
std::vector<Question> candidates(const practice::Subject& subject, std::span<const Weighted> likely,
                                 bool bright, std::size_t round);

}  // namespace panewalk::find
