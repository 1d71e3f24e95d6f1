#pragma once

#include <string>

#include "boathouse.hpp"
#include "find/words.hpp"

namespace panewalk::test {

/// All that is said about a finding, one sentence or list entry a line.
inline std::string told(const HungProp& prop, const find::Finding& finding, bool bright = true) {
  const find::FindingWords words = find::words_for(prop.subject(), finding, bright);
  std::string text = words.fault + " | " + words.second + " | " + words.station + " | " +
                     std::to_string(words.index) + '\n' + words.text + '\n';
  for (const std::string& suspect : words.suspects) text += "suspect: " + suspect + '\n';
  text += "sure: " + words.how_sure + '\n';
  for (const std::string& also : words.also) text += "also: " + also + '\n';
  for (const std::string& step : words.steps) text += "do: " + step + '\n';
  return text + "then: " + words.confirm + '\n';
}

/// One a line.
inline std::string text_of(const std::vector<std::string>& all) {
  std::string text;
  for (const std::string& each : all) text += each + '\n';
  return text;
}

}  // namespace panewalk::test
