#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <variant>
#include <vector>

/// The guided checks of the bench and the yard, and the fault finder: what is asked, what was said,
/// what follows from it.
namespace panewalk::check {

/// Numbers of entries in a logbook, from 1, in the order in which they were written.
using EntryNumber = std::int64_t;

/// What the builder said to the question of one step.
enum class Answer { kYes, kNo, kUnsure, kSkipped };
/// What the builder saw of a prop in the yard.
enum class Seen {
  kAsDrawn,
  kAnother,  ///< another prop lit instead
  kNothing,
  kWrong,  ///< it lit, and something about it looks wrong
};
enum class WalkBy { kOrder, kNearest };
/// Where the fault finder was used.
enum class FindPlace { kBench, kYard };
/// What became of a finding.
enum class Repair {
  kMended,
  kNotMended,
  kWasAnother,  ///< something else was wrong
};

/// Bytes of what the fault finder asked, of an answer, and of the other texts of its entries.
inline constexpr std::size_t kLongestFindText = 4000;

struct BenchBegun {
  std::string prop;
  bool operator==(const BenchBegun&) const = default;
};
struct BenchAnswered {
  EntryNumber check = 0;  ///< the BenchBegun that it belongs to
  std::string prop;
  std::string step;
  Answer answer = Answer::kUnsure;
  std::string note;
  bool operator==(const BenchAnswered&) const = default;
};
struct WalkBegun {
  WalkBy by = WalkBy::kOrder;
  std::vector<std::string> order;  ///< props, as they are walked
  bool operator==(const WalkBegun&) const = default;
};
struct WalkAnswered {
  EntryNumber walk = 0;  ///< the WalkBegun that it belongs to
  std::string prop;
  Seen seen = Seen::kAsDrawn;
  std::string other;  ///< with kAnother: the prop that lit, or "" where it could not be told
  std::string note;
  bool operator==(const WalkAnswered&) const = default;
};

// Texts of the fault finder are one line each, without control characters, and not empty unless
// they say so. Faults are written as `--fault` takes them after the prop: "data-open=17".

struct FindBegun {
  std::string prop;
  FindPlace place = FindPlace::kBench;
  std::string from;  ///< the check that it came from, "bench ruler" or "walk"; may be empty
  /// A mark of the prop's description: answers are not read against another. "": not known.
  std::string described = {};
  bool operator==(const FindBegun&) const = default;
};
struct FindAnswered {
  EntryNumber find = 0;  ///< the FindBegun that it belongs to
  std::string prop;
  int question = 1;  ///< from 1
  /// The kind of the question, a colon, and the rest: "where: pixels 3, 9 and 27 in green".
  std::string asked;
  std::string answer;  ///< JSON: "\"yes\"", "[\"A1\",\"B2\"]"
  bool operator==(const FindAnswered&) const = default;
};
struct FindConcluded {
  EntryNumber find = 0;
  std::string prop;
  std::string fault;
  std::string second;   ///< a second fault, or ""
  std::string station;  ///< or "" where the fault has none
  int index = 0;        ///< of the pixel, from 1; 0 where the fault has none
  int certainty = 0;    ///< per mille, 0 to 1000
  /// "count-short=17 0.12, power-open=17 0.05", the likelier first, or "".
  std::string also_possible;
  int questions = 0;  ///< that were asked
  bool operator==(const FindConcluded&) const = default;
};
struct FindRepaired {
  EntryNumber find = 0;
  std::string prop;
  Repair repair = Repair::kMended;
  std::string fault;  ///< with kWasAnother: what it was, or "" where nobody knows
  std::string note;   ///< of any lines, as in a check
  bool operator==(const FindRepaired&) const = default;
};

using Event = std::variant<BenchBegun, BenchAnswered, WalkBegun, WalkAnswered, FindBegun,
                           FindAnswered, FindConcluded, FindRepaired>;

/// Whether an event of the fault finder keeps the bounds above; that an answer is JSON is not
/// looked at. True for other events.
bool is_within_bounds(const Event& event);

/// One line of the logbook; never changed once written. A later answer to the same question counts.
struct Entry {
  EntryNumber number = 0;
  std::int64_t at = 0;  ///< seconds since 1970-01-01T00:00:00Z
  std::string site;
  Event event;
  bool operator==(const Entry&) const = default;
};

/// "yes", "no", "unsure", "skipped".
const char* to_text(Answer answer);
/// "as drawn", "another prop", "nothing", "wrong".
const char* to_text(Seen seen);
/// "order", "nearest".
const char* to_text(WalkBy by);
/// "bench", "yard".
const char* to_text(FindPlace place);
/// "mended", "not mended", "was another fault".
const char* to_text(Repair repair);

}  // namespace panewalk::check
