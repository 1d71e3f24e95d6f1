#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "check/entry.hpp"
#include "check/progress.hpp"
#include "engine/plan.hpp"
#include "find/answer.hpp"
#include "find/finder.hpp"

namespace panewalk::check {

/// One question of a search with what was said to it.
struct FindReply {
  FindAnswered recorded;
  std::int64_t at = 0;  ///< seconds since 1970
  find::Said answer;
  /// Both are nothing in a search that is stale.
  std::optional<find::Question> question = std::nullopt;
  std::optional<find::Sighting> sighting = std::nullopt;
};

/// Where the fault finder stands with one prop. A finder in it refers to the plan.
struct FindState {
  std::string prop;
  std::optional<EntryNumber> find;  ///< the newest FindBegun
  Progress progress = Progress::kNotBegun;
  /// The site has changed: other questions would be asked now, or the same would lead elsewhere. No
  /// answer is taken any more.
  bool stale = false;
  FindPlace place = FindPlace::kBench;
  std::string from;
  std::optional<std::int64_t> begun_at;
  std::vector<FindReply> answers;
  std::optional<FindConcluded> concluded;  ///< as it is in the logbook
  std::optional<FindRepaired> repaired;    ///< the newest
  std::optional<std::int64_t> repaired_at;
  /// After all answers; nothing where no search has begun or it is stale.
  std::optional<find::Finder> finder;

  /// The question with this number, answered or open.
  [[nodiscard]] const find::Question* question(int number) const;
};

/// What the questions of a prop hang on besides its description.
struct FindSubject {
  std::string site;
  practice::Subject subject;
  bool bright = false;  ///< as may_be_bright() says
};

/// The newest search of the prop, by asking again and answering as the logbook says. An answer to
/// an earlier question takes the place of the one before and of all after it; answers out of turn,
/// and entries of another site, prop or search, count for nothing. `before`, of the same subject,
/// saves what it has in common with it: a replay costs up to 0.1 s a question on a large prop.
FindState find_state(const FindSubject& of, std::span<const Entry> entries, FindState before = {});

/// Nothing where this is the newest search.
std::optional<Refusal> another_search(const FindState& state, EntryNumber find);

/// A new search. `from` is the check that it came from ("bench ruler", "walk") or "".
Event begin_find(const practice::Subject& subject, FindPlace place, const std::string& from);

/// Another one wherever the chain, its stations, their channels or the order of colours differ.
std::string mark_of_description(const practice::Subject& subject);

/// Whether an answer is to the question that is open, or in the place of an earlier one.
enum class Turn { kOpen, kAgain };

struct FindAnswer {
  /// What to write into the logbook, in this order: the answer, and what was found where that ends
  /// the search.
  std::vector<Event> events;
  /// To go on from in find_state() once they are written.
  FindState after;
};
/// Pointers of problems are those of the API's body.
base::Result<FindAnswer, Refusal> answer_find(const FindState& state, EntryNumber find,
                                              int question, const find::Said& said,
                                              Turn turn = Turn::kOpen);

/// What to write when a finding was acted upon. `fault` is as `--fault` takes it, and only said
/// with kWasAnother; it may be empty.
base::Result<std::vector<Event>, Refusal> repair_find(const FindState& state,
                                                      const practice::Subject& subject,
                                                      EntryNumber find, Repair repair,
                                                      const std::string& fault,
                                                      const std::string& note);

/// What a finder has found so far, as the logbook keeps it.
FindConcluded conclude(EntryNumber find, const std::string& prop, const find::Finder& finder);

/// "where: pixels 3, 9 and 27 in green", "colours: all pixels in red, green and blue at B2".
std::string asked_text(const practice::Subject& subject, const find::Question& question);

/// "\"yes\"", "[\"A1\", \"B2\"]".
std::string as_json(const find::Said& said);
/// Nothing for any other JSON, and for what is none.
std::optional<find::Said> said_from_json(std::string_view text);

/// Whether bright white may be asked for: the limits leave every pixel of it above half.
bool may_be_bright(const std::shared_ptr<const engine::Plan>& plan, std::size_t prop);

/// The pixels where a fault shows or sits, to be marked on a drawing, ascending; a fault of the
/// wire after a pixel has the two at its ends, one of the whole prop has none.
std::vector<int> pixels_of(const practice::Subject& subject, const practice::Fault& fault);

}  // namespace panewalk::check
