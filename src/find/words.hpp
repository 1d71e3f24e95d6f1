#pragma once

#include <string>
#include <vector>

#include "find/finder.hpp"

/// What the finder says, for a builder with cold hands.
namespace panewalk::find {

/// What to look at and what to answer, one or two short sentences; says FRONT or BACK where it
/// names a place.
std::string question_text(const practice::Subject& subject, const Question& question);

/// To be said before the first question: cautions, that light which stands still and does not
/// follow the pictures is not meant, from which side the places are named.
std::vector<std::string> opening(const practice::Subject& subject);

struct FindingWords {
  /// "data-open=17": as `--fault` takes it; "" for none.
  std::string fault, second;
  std::string station;  ///< its name, or ""
  int index = 0;        ///< of the pixel, 0 where there is none
  std::string text;     ///< what is wrong and where, seen from the front and from the back
  std::vector<std::string>
      suspects;                   ///< the two pixels and the wire between, with the splice's number
  std::string how_sure;           ///< "99 %: …", and what could not be looked at
  std::vector<std::string> also;  ///< what else it can be, each with the test that would tell
  std::vector<std::string> steps;  ///< what to do now, in safe order, power off first
  std::string confirm;             ///< how to see that the repair holds
};
FindingWords words_for(const practice::Subject& subject, const Finding& finding, bool bright);

/// "splice S2 (jump from pixel 40 to 41)" for the wire after a pixel, numbered as on the workbench
/// sheet and its labels; "the wire to pixel 18" where the data runs on along the bar.
std::string wire_after(const practice::Subject& subject, std::int32_t pixel);

}  // namespace panewalk::find
