#pragma once

#include <string>
#include <vector>

#include "base/result.hpp"
#include "find/question.hpp"

namespace panewalk::find {

/// An answer as it is said: one word ("yes", "B2") or a list of words (stations, colours).
struct Said {
  std::vector<std::string> words;
  bool is_list = false;
  bool operator==(const Said&) const = default;
};

/// "unsure" always is an answer. kSame: "yes" or "no"; kHold: "held" or "dark"; kWhere: a list of
/// stations, empty for none; kOther: the name of a prop or "none"; kLastLit: a station, "none" or
/// "all"; kColours: a list, one colour a picture (for one picture also a word). A problem says what
/// is allowed; it has no place.
base::Result<Sighting, base::Problem> read_answer(const practice::Subject& subject,
                                                  const Question& question, const Said& said);
/// The other way round.
Said said(const practice::Subject& subject, const Question& question, const Sighting& sighting);

/// The words that a person can choose from where they are few, "unsure" last; for kWhere and
/// kLastLit those that are no station.
std::vector<std::string> choices(const practice::Subject& subject, const Question& question);

}  // namespace panewalk::find
