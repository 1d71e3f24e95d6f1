#pragma once

#include <cstdint>
#include <string>
#include <variant>
#include <vector>

/// The guided checks of the bench and the yard: what is asked, what was said, what follows from it.
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

using Event = std::variant<BenchBegun, BenchAnswered, WalkBegun, WalkAnswered>;

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

}  // namespace panewalk::check
