#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "find/answer.hpp"
#include "find/finder.hpp"
#include "find/question.hpp"
#include "find/words.hpp"
#include "light/colour.hpp"

/// What `find --json` says and hears, one JSON object a line; all without the line's end.
namespace panewalk::cli {

/// Colours of every chip of the chain by its slot, a picture.
using Frames = std::vector<std::vector<light::Colour>>;

/// {"question", "ask", "text", "frames", "station"?, "choices"}.
std::string question_line(const practice::Subject& subject, const find::Question& question,
                          int number, const Frames& frames);

/// {"finding": {…}, "questions"}. A value is as `--fault` takes it, "" where the fault has none;
/// `index` and `station` are null there. `and` is there where two faults are.
std::string finding_line(const practice::Subject& subject, const find::Finding& finding,
                         const find::FindingWords& words);

/// {"answer": …}: a word or a list of words. Other members are passed over: other programs may
/// number their answers.
base::Result<find::Said> read_answer_line(std::string_view line);

}  // namespace panewalk::cli
