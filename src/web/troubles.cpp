#include "web/troubles.hpp"

#include <algorithm>
#include <cerrno>

#include "io/error_words.hpp"
#include "io/socket_address.hpp"

namespace panewalk::web {
namespace {

using Listed = io::ErrorReport::List;
using Failing = io::ErrorReport::Trouble;

std::string place_of(const Failing& failing, const engine::Plan& plan) {
  const std::string where = io::to_text(failing.host) + ":" + std::to_string(failing.port);
  return failing.controller
             ? "controller " + plan.controllers[*failing.controller].name + ", " + where + ": "
             : "universe discovery, " + where + ": ";
}

std::string key_of(const std::string& what, std::optional<std::size_t> controller) {
  return what + " " + (controller ? std::to_string(*controller) : "discovery");
}

/// One trouble for a controller, whose groups mostly fail together.
void add(const Listed& list, const engine::Plan& plan, const std::string& what,
         const std::string& over, std::vector<Trouble>& troubles) {
  const auto known = [&troubles](const std::string& key) {
    return std::any_of(troubles.begin(), troubles.end(),
                       [&key](const Trouble& trouble) { return trouble.key == key; });
  };
  for (const Failing& failing : list.listed()) {
    Trouble trouble{.key = key_of(what, failing.controller),
                    .begins = place_of(failing, plan),
                    .over = place_of(failing, plan) + over,
                    .cause = std::to_string(failing.state.error)};
    if (known(trouble.key)) continue;
    trouble.begins += io::in_words(failing.state.error);
    const std::string_view remedy = io::remedy_for(failing.state.error);
    if (!remedy.empty()) trouble.begins += "; " + std::string{remedy};
    troubles.push_back(std::move(trouble));
  }
  if (list.count <= Listed::kMost) return;
  troubles.push_back(
      {.key = what + " more",
       .begins = "and more: " + std::to_string(list.count) + " addresses in all have trouble",
       .over = "only a few addresses have trouble now"});
  // Those that are not listed may have it still.
  const auto still = [&](std::optional<std::size_t> controller) {
    Trouble trouble{.key = key_of(what, controller), .begins = "", .over = "", .tells = false};
    if (!known(trouble.key)) troubles.push_back(std::move(trouble));
  };
  still(std::nullopt);
  for (std::size_t i = 0; i < plan.controllers.size(); ++i) still(i);
}

bool is_of_answers(scan::Kind kind) {
  return kind == scan::Kind::kRefuses || kind == scan::Kind::kUnreachable ||
         kind == scan::Kind::kSilent || kind == scan::Kind::kStopped ||
         kind == scan::Kind::kAnswers;
}

std::string over_of(const scan::Finding& finding) {
  const std::string controller = finding.controller.value_or("");
  switch (finding.kind) {
    case scan::Kind::kRefuses:
    case scan::Kind::kUnreachable:
    case scan::Kind::kSilent:
    case scan::Kind::kStopped:
    case scan::Kind::kAnswers: return "Controller " + controller + " answers again.";
    case scan::Kind::kTaken:
      return (finding.who.empty() ? "Others" : finding.who) +
             (finding.who.empty() ? " no longer send" : " no longer sends") + " what controller " +
             controller + " gets.";
    case scan::Kind::kOffByOneSender:
      return finding.who + " no longer sends what lies beside the universes of controller " +
             controller + ".";
    case scan::Kind::kOffByOneNode:
      return "The node of controller " + controller +
             " no longer puts out what lies beside the site's.";
    case scan::Kind::kMerging:
      return "The node of controller " + controller + " no longer says that it merges two senders.";
    case scan::Kind::kSharedCid: return "No other machine sends with the CID of this installation.";
    case scan::Kind::kLosses: return "No more losses are seen in what " + finding.who + " sends.";
    default: return "";
  }
}

}  // namespace

std::vector<Trouble> troubles_of(const io::Live& live, const engine::Plan& plan) {
  std::vector<Trouble> troubles;
  add(live.errors.failing, plan, "failing", "no more errors", troubles);
  add(live.errors.dropping, plan, "dropping", "no more packets are dropped", troubles);
  if (!live.granted.realtime) {
    troubles.push_back({.key = "real time",
                        .begins = "ordinary priority: the system grants no real time, so frames "
                                  "may be late while this machine is busy; allow this user "
                                  "real-time priority (RLIMIT_RTPRIO, in a systemd unit "
                                  "LimitRTPRIO=)",
                        .over = ""});
  }
  return troubles;
}

std::vector<Trouble> troubles_of(const std::vector<scan::Finding>& findings) {
  std::vector<Trouble> troubles;
  for (const scan::Finding& finding : findings) {
    // That nobody else is heard is in order wherever all goes by multicast.
    if (!finding.trouble || finding.kind == scan::Kind::kNothing) continue;
    const bool answers = is_of_answers(finding.kind);
    const std::string kind{answers ? "answers" : scan::to_text(finding.kind)};
    Trouble trouble{.key = kind + " " + finding.controller.value_or("") + " " + finding.who,
                    .begins = finding.what,
                    .over = over_of(finding),
                    .tells = finding.sure != scan::Sure::kPossible};
    if (answers) trouble.cause = scan::to_text(finding.kind);
    if (!finding.next.empty()) trouble.begins += " " + finding.next;
    troubles.push_back(std::move(trouble));
  }
  return troubles;
}

Trouble no_new_callers(int error) {
  std::string begins = "nobody new can open the page: " + io::system_text(error);
  if (error == EMFILE || error == ENFILE) {
    begins +=
        "; close pages, or allow more open files (RLIMIT_NOFILE, in a systemd unit LimitNOFILE=)";
  }
  return {.key = "callers",
          .begins = std::move(begins),
          .over = "the page can be opened again",
          .cause = std::to_string(error)};
}

std::optional<Trouble> MissedFrames::look(base::Instant now, std::uint64_t missed) {
  const std::uint64_t more = missed > before_ ? missed - before_ : 0;
  before_ = missed;
  if (more >= kBurst) last_ = now;
  if (!last_) return std::nullopt;
  burst_ += more;
  if (now - *last_ >= kOverAfter) {
    last_ = std::nullopt;
    burst_ = 0;
    return std::nullopt;
  }
  return Trouble{.key = "missed",
                 .begins = std::to_string(burst_) +
                           " frames were missed; see what else keeps this machine busy",
                 .over = "no more frames are missed; there were " + std::to_string(burst_)};
}

}  // namespace panewalk::web
