#include "find/observer.hpp"

#include <algorithm>
#include <cstdlib>

namespace panewalk::find {
namespace {

/// Of the wrong answers, those close to the right one; the rest are any of what could be seen.
constexpr double kCloseShare = 0.5;

std::size_t in_common(const Sighting& a, const Sighting& b) {
  std::size_t both = 0;
  for (const std::int16_t value : a) both += std::count(b.begin(), b.end(), value) > 0 ? 1U : 0U;
  return both;
}

/// One station missed, one too many, or one taken for another.
double close_stations(const Sighting& expected, const Sighting& said) {
  const std::size_t both = in_common(expected, said);
  const std::size_t missed = expected.count - both;
  const std::size_t added = said.count - both;
  if (missed > 1 || added > 1) return 0;
  constexpr double kPlaces = 40;  // that a finger may hit instead
  if (added == 0) return 0.6 / static_cast<double>(expected.count);
  return missed == 0 ? 0.1 / kPlaces : 0.3 / (static_cast<double>(expected.count) * kPlaces);
}

double close_place(const Sighting& expected, const Sighting& said) {
  const int away = std::abs(expected.values[0] - said.values[0]);
  constexpr int kFar = 3;
  return away <= kFar ? 1.0 / (2 * kFar) : 0;
}

/// One picture's colour mistaken.
double close_colours(const Sighting& expected, const Sighting& said) {
  if (expected.count != said.count) return 0;
  int differ = 0;
  for (std::size_t i = 0; i < expected.count; ++i) {
    differ += expected.values[i] != said.values[i] ? 1 : 0;
  }
  return differ == 1 ? 1.0 / (expected.count * (practice::kSeenColours - 1)) : 0;
}

double close_answer(Ask ask, const Sighting& expected, const Sighting& said) {
  switch (ask) {
    case Ask::kWhere: return close_stations(expected, said);
    case Ask::kLastLit: return close_place(expected, said);
    case Ask::kColours: return close_colours(expected, said);
    default: return 0;
  }
}

}  // namespace

double Observer::error_rate(Ask ask) {
  switch (ask) {
    case Ask::kSame: return 0.03;
    case Ask::kWhere: return 0.03;
    case Ask::kOther: return 0.02;
    case Ask::kLastLit: return 0.03;
    case Ask::kColours: return 0.04;
    case Ask::kHold: return 0.05;
  }
  return 0.05;
}

double likelihood(Ask ask, const Sighting& expected, const Sighting& said, std::size_t kinds) {
  if (said.unsure) return 1;
  const double wrong = Observer::error_rate(ask);
  if (expected == said) return 1 - wrong;
  if (ask == Ask::kSame) return wrong;
  const auto others = static_cast<double>(std::max<std::size_t>(kinds, 8));
  return wrong * (kCloseShare * close_answer(ask, expected, said) + (1 - kCloseShare) / others);
}

double likelihood_of_hold(const Hypothesis& hypothesis, bool held) {
  const bool can_hold = hypothesis.built.chips_with_data != practice::AsBuilt::kAll;
  const double holds = can_hold ? 0.5 : 0.02;
  return held ? holds : 1 - holds;
}

double seconds_for(const Question& question, double stations_to_tap) {
  constexpr double kToRead = 5;
  const auto pictures = static_cast<double>(question.pictures.size());
  switch (question.ask) {
    case Ask::kSame: return kToRead + 3 * pictures;
    case Ask::kWhere: return kToRead + 2 * stations_to_tap;
    case Ask::kOther: return kToRead + 8;
    case Ask::kLastLit: return kToRead + 3;
    case Ask::kColours: return kToRead + 2 * pictures;
    case Ask::kHold: return kToRead + 4;
  }
  return kToRead;
}

}  // namespace panewalk::find
