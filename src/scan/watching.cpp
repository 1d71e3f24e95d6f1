#include "scan/watching.hpp"

#include <algorithm>

#include "scan/words.hpp"

namespace panewalk::scan {
namespace {

bool has_node(const Report& report, Ipv4 address) {
  return std::any_of(report.nodes.begin(), report.nodes.end(),
                     [address](const ArtNode& node) { return node.from == address; });
}

/// What a refusal or a missing way says is more than that the answers stopped.
bool says_less(Kind kind) { return kind == Kind::kAnswers || kind == Kind::kSilent; }

}  // namespace

void end_what_fell_silent(Report& report, base::Instant streams, base::Instant nodes) {
  for (E131Source& source : report.sources) {
    for (E131Stream& stream : source.streams) {
      if (stream.counts.last < streams) stream.terminated = true;
    }
  }
  std::erase_if(report.art_streams,
                [streams](const ArtStream& stream) { return stream.counts.last < streams; });
  std::erase_if(report.nodes, [nodes](const ArtNode& node) { return node.last < nodes; });
}

void Answers::take(const Report& report, const engine::Plan& plan) {
  for (const patch::ControllerDescription& controller : plan.controllers) {
    if (controller.address.multicast) continue;
    const Ipv4 address = controller.address.host;
    for (const ArtNode& node : report.nodes) {
      if (node.from != address) continue;
      base::Instant& last = last_[address];
      last = std::max(last, node.last);
    }
  }
}

void Answers::judge(const Report& report, const engine::Plan& plan,
                    std::vector<Finding>& findings) const {
  for (const patch::ControllerDescription& controller : plan.controllers) {
    const auto known = last_.find(controller.address.host);
    if (controller.address.multicast || known == last_.end() ||
        has_node(report, controller.address.host)) {
      continue;
    }
    const auto silence =
        std::find_if(findings.begin(), findings.end(), [&controller](const Finding& finding) {
          return finding.controller == controller.name && says_less(finding.kind);
        });
    if (silence == findings.end()) continue;
    *silence = {.kind = Kind::kStopped,
                .trouble = true,
                .controller = controller.name,
                .what = "Controller " + controller.name + " (" + dotted(controller.address.host) +
                        ") stopped answering ArtPoll; the last answer came " +
                        seconds_text(report.ended - known->second) + " ago.",
                .next =
                    "Is it still switched on, its cable in, its link light on? Was its address "
                    "or its protocol changed?"};
  }
}

}  // namespace panewalk::scan
