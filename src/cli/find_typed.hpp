#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "find/answer.hpp"
#include "find/question.hpp"

namespace panewalk::cli {

/// An answer as somebody types it: words between blanks or commas, each as long as it needs to be
/// told from the others ("y", "r g b"); "a1" for a station A1. A problem says what is allowed.
base::Result<find::Sighting, base::Problem> read_typed(const practice::Subject& subject,
                                                       const find::Question& question,
                                                       std::string_view line);

/// "yes, no or unsure", "a station, none, all or unsure".
std::string answers_in_words(const practice::Subject& subject, const find::Question& question);

}  // namespace panewalk::cli
