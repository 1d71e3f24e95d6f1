#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "scan/verdict.hpp"

namespace panewalk::scan::test {

/// One finding in lines: "taken, seen, trouble, yard: 10 11", what, next.
inline std::string told(const Finding& finding) {
  std::string text{to_text(finding.kind)};
  text += ", " + std::string{to_text(finding.sure)} + (finding.trouble ? ", trouble" : "");
  if (finding.controller) text += ", " + *finding.controller;
  if (!finding.universes.empty()) text += ":";
  for (const std::uint16_t universe : finding.universes) text += " " + std::to_string(universe);
  text += "\n" + finding.what + "\n";
  if (!finding.next.empty()) text += finding.next + "\n";
  return text;
}

/// Those of the kinds, or all.
inline std::string told(const std::vector<Finding>& findings, const std::vector<Kind>& kinds = {}) {
  std::string text;
  for (const Finding& finding : findings) {
    const bool wanted =
        kinds.empty() || std::find(kinds.begin(), kinds.end(), finding.kind) != kinds.end();
    if (wanted) text += told(finding);
  }
  return text;
}

}  // namespace panewalk::scan::test
