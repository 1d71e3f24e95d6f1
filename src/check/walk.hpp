#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "check/entry.hpp"
#include "check/progress.hpp"
#include "engine/plan.hpp"

namespace panewalk::check {

/// The props of the site's walk by name: as the site says, or always on to the nearest that was not
/// yet visited, from the first that has a place. Props without a place come last; what is equally
/// near comes as in the site's walk.
std::vector<std::string> walk_order(const engine::Plan& plan, WalkBy by);

struct WalkStop {
  std::string prop;
  std::string about;
  std::string controller;
  std::int64_t universe = 1;
  std::optional<Seen> seen;
  std::string other;  ///< with Seen::kAnother: the prop that lit, "" where it could not be told
  std::string note;
  std::optional<std::int64_t> at;  ///< of the answer, seconds since 1970
};

/// A prop that was not as drawn.
struct PunchItem {
  std::string prop;
  std::string what;                ///< what was seen, a sentence
  std::vector<std::string> check;  ///< what to look at, cheapest first
};

struct WalkState {
  std::optional<EntryNumber> walk;  ///< the newest WalkBegun
  Progress progress = Progress::kNotBegun;
  std::optional<WalkBy> by;
  std::optional<std::int64_t> begun_at;
  std::vector<WalkStop> stops;
  std::optional<std::string> next;  ///< the first stop without an answer
  std::vector<PunchItem> punch_list;
  std::vector<std::string> notes;  ///< props that left the site or joined it since the walk began
};

/// Where the walk stands. `entries` are the logbook's by number; those of another site or walk
/// count for nothing. Props that have left the site are no stops; those that joined its walk come
/// last.
WalkState walk_state(const engine::Plan& plan, const std::vector<Entry>& entries);

/// What to look at for every stop that was not as drawn.
std::vector<PunchItem> punch_list(const engine::Plan& plan, const std::vector<WalkStop>& stops);

/// A new walk, with every stop open again.
Event begin_walk(const engine::Plan& plan, WalkBy by);

/// What to write into the logbook for an answer. Pointers of problems are those of the API's body.
base::Result<Event, Refusal> answer_walk(const WalkState& state, EntryNumber walk,
                                         const std::string& prop, Seen seen,
                                         const std::string& other, const std::string& note);

}  // namespace panewalk::check
