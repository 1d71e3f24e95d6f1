#include "scan/verdict.hpp"

#include <algorithm>

#include "scan/judging.hpp"

namespace panewalk::scan {

std::string_view to_text(Kind kind) {
  switch (kind) {
    case Kind::kAnswers: return "answers";
    case Kind::kRefuses: return "refuses";
    case Kind::kUnreachable: return "unreachable";
    case Kind::kSilent: return "silent";
    case Kind::kStopped: return "stopped";
    case Kind::kNotAsked: return "not_asked";
    case Kind::kHere: return "here";
    case Kind::kTaken: return "taken";
    case Kind::kOffByOneSender: return "off_by_one_sender";
    case Kind::kOffByOneNode: return "off_by_one_node";
    case Kind::kNotPutOut: return "not_put_out";
    case Kind::kMerging: return "merging";
    case Kind::kMulticastUnheard: return "multicast_unheard";
    case Kind::kSharedCid: return "shared_cid";
    case Kind::kJumps: return "jumps";
    case Kind::kLosses: return "losses";
    case Kind::kNothing: return "nothing";
  }
  return "";
}

std::string_view to_text(Sure sure) {
  switch (sure) {
    case Sure::kSeen: return "seen";
    case Sure::kLikely: return "likely";
    case Sure::kPossible: return "possible";
  }
  return "";
}

bool is_here(const Report& report, Ipv4 address) {
  return address[0] == 127 ||
         std::any_of(report.asked.cards.begin(), report.asked.cards.end(),
                     [address](const Card& card) { return card.address == address; });
}

std::vector<Finding> judge(const Report& report) {
  std::vector<Finding> findings;
  judge_network(report, findings);
  return findings;
}

std::vector<Finding> judge(const Report& report, const engine::Plan& plan) {
  std::vector<Finding> findings;
  judge_controllers(report, plan, findings);
  judge_nodes(report, plan, findings);
  judge_rivals(report, plan, findings);
  judge_network(report, findings);
  return findings;
}

}  // namespace panewalk::scan
