#pragma once

#include "find/hypotheses.hpp"
#include "find/question.hpp"

namespace panewalk::find {

/// Builders err: they miscount, take orange for red, stand on the wrong side.
struct Observer {
  /// The share of answers that are wrong, by the kind of question (estimates, no source; counts
  /// are never asked for, which is where people err most).
  [[nodiscard]] static double error_rate(Ask ask);
};

/// How likely the answer is where a builder who errs in nothing would say `expected`. `kinds` is
/// how many different answers could have been expected: a wrong one may be any of them, and is
/// often close to the right one. Never 0.
double likelihood(Ask ask, const Sighting& expected, const Sighting& said, std::size_t kinds);

/// kHold: a break of the data holds old light as often as not, everything else hardly ever.
double likelihood_of_hold(const Hypothesis& hypothesis, bool held);

/// Seconds of the builder's time to look and to answer (estimates).
double seconds_for(const Question& question, double stations_to_tap);

}  // namespace panewalk::find
