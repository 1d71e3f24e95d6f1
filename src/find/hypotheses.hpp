#pragma once

#include <vector>

#include "find/prior.hpp"
#include "practice/fault.hpp"

namespace panewalk::find {

/// What could be wrong, and the prop as it would be then.
struct Hypothesis {
  practice::Fault fault;
  practice::Fault second;  ///< kNone where there is one fault only
  practice::AsBuilt built;
  double prior = 0;
};

/// Every single fault of the prop with its prior, "none" first. The priors add up to 1.
std::vector<Hypothesis> single_faults(const practice::Subject& subject, const Experience& known);

/// A wrong colour order and one more fault; the prior is that of both together.
Hypothesis pair_of(const practice::Subject& subject, const Hypothesis& order,
                   const Hypothesis& other);
/// Whether a fault is looked for together with a wrong colour order.
bool pairs_with_colour_order(practice::FaultKind kind);

/// The pixel at which the fault sits, 0 where it has no such place. A count is the last pixel that
/// is driven.
std::int32_t locus(const practice::Subject& subject, const practice::Fault& fault);

}  // namespace panewalk::find
