#pragma once

#include <map>
#include <vector>

#include "base/instant.hpp"
#include "engine/plan.hpp"
#include "scan/report.hpp"
#include "scan/verdict.hpp"

/// What a watch that goes on for days adds to reports of some seconds each.
namespace panewalk::scan {

/// Streams that were heard last before `streams` have ended: those of E1.31 count as terminated,
/// those of Art-Net are left out. So are nodes that replied last before `nodes`.
void end_what_fell_silent(Report& report, base::Instant streams, base::Instant nodes);

/// Who of a site's controllers answered ArtPoll, longer ago than a report tells.
class Answers {
 public:
  void take(const Report& report, const engine::Plan& plan);
  /// Where a controller answered before, and its node is not in the report any more: kStopped in
  /// place of what `judge` says of its silence.
  void judge(const Report& report, const engine::Plan& plan, std::vector<Finding>& findings) const;

 private:
  std::map<Ipv4, base::Instant> last_;
};

}  // namespace panewalk::scan
