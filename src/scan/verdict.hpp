#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/plan.hpp"
#include "scan/report.hpp"

/// What the report means for a site.
namespace panewalk::scan {

enum class Kind {
  kAnswers,           ///< a controller answered
  kRefuses,           ///< its host is there, but nobody listens for Art-Net
  kUnreachable,       ///< there is no way to it
  kSilent,            ///< nothing came from it
  kStopped,           ///< it answered ArtPoll before; only a watch knows
  kNotAsked,          ///< it has no address to ask: multicast
  kHere,              ///< it is this machine
  kTaken,             ///< somebody else sends a universe of the site
  kOffByOneSender,    ///< somebody sends the universes beside the site's
  kOffByOneNode,      ///< the node puts out the Port-Addresses beside the site's
  kNotPutOut,         ///< the node lists no output for a universe of the site
  kMerging,           ///< the node says that it merges two senders
  kMulticastUnheard,  ///< what discovery names does not come by multicast
  kSharedCid,         ///< one CID sends a universe from two addresses
  kJumps,             ///< the numbers of the packets jump
  kLosses,            ///< packets get lost on the way
  kNothing,           ///< nothing was heard at all
};
/// "answers", "off_by_one_sender" and so on, as in JSON.
std::string_view to_text(Kind kind);

/// How sure it is: seen on the wire, likely, possible.
enum class Sure { kSeen, kLikely, kPossible };
/// "seen", "likely", "possible".
std::string_view to_text(Sure sure);

struct Finding {
  Kind kind{};
  Sure sure = Sure::kSeen;
  bool trouble = false;                        ///< something to look into
  std::optional<std::string> controller = {};  ///< of the site
  std::vector<std::uint16_t> universes = {};   ///< as the site numbers them, ascending
  std::string what;                            ///< whole sentences, safe for a terminal
  std::string next = {};                       ///< what to check; may be empty
  /// Which of several senders it is about, as a sentence begins; empty where there is but one.
  std::string who = {};
  bool operator==(const Finding&) const = default;
};

/// What concerns no site: nothing heard, multicast, losses, shared CIDs.
std::vector<Finding> judge(const Report& report);
/// What concerns the site, then the same: its controllers in their order, what their nodes say,
/// who else sends its universes.
std::vector<Finding> judge(const Report& report, const engine::Plan& plan);

}  // namespace panewalk::scan
