#pragma once

#include <array>

#include "check/entry.hpp"

/// All values of what an entry can say in fixed words.
namespace panewalk::logbook {

inline constexpr std::array kAnswers{check::Answer::kYes, check::Answer::kNo,
                                     check::Answer::kUnsure, check::Answer::kSkipped};
inline constexpr std::array kSeen{check::Seen::kAsDrawn, check::Seen::kAnother,
                                  check::Seen::kNothing, check::Seen::kWrong};
inline constexpr std::array kWaysToWalk{check::WalkBy::kOrder, check::WalkBy::kNearest};
inline constexpr std::array kPlaces{check::FindPlace::kBench, check::FindPlace::kYard};
inline constexpr std::array kRepairs{check::Repair::kMended, check::Repair::kNotMended,
                                     check::Repair::kWasAnother};

}  // namespace panewalk::logbook
