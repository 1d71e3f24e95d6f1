#pragma once

#include <cstdint>
#include <deque>
#include <map>
#include <span>
#include <string>
#include <vector>

#include "base/instant.hpp"

namespace panewalk::web {

/// Something that is not as it should be, for as long as it lasts.
struct Trouble {
  std::string key;     ///< tells troubles apart; not shown
  std::string begins;  ///< the line when it comes
  std::string over;    ///< the line when it is over; empty: none
  /// Where it becomes another one, what came is told anew.
  std::string cause = {};
  /// False: not told by itself, but what was told of the key before is not over.
  bool tells = true;
};

/// A line for a log, without its end.
struct DiaryLine {
  std::string text;
  bool over = false;  ///< of a trouble that is no more
  bool operator==(const DiaryLine&) const = default;
};

/// What changes, as lines for a log: each trouble when it comes and when it is over. What comes too
/// fast waits, and is told late if it is still so, else counted.
class Diary {
 public:
  /// All that is wrong at `now`, which never goes back; the lines that are to be written.
  std::vector<DiaryLine> look(base::Instant now, std::span<const Trouble> troubles);
  /// Nothing was told yet.
  void forget();

  /// Between two beginnings of the same trouble.
  static constexpr base::Duration kSameAfter = std::chrono::minutes{1};
  static constexpr std::size_t kMostInMinute = 20;

 private:
  struct Known {
    bool told = false;
    bool waits = false;  ///< to be told, but it was too early
    bool ever = false;   ///< told at some time
    bool now = false;
    base::Instant told_at{};
    std::string cause, over;
  };
  [[nodiscard]] bool has_room(base::Instant now);
  void say(base::Instant now, DiaryLine line, std::vector<DiaryLine>& lines);
  void begin(base::Instant now, const Trouble& trouble, std::vector<DiaryLine>& lines);

  std::map<std::string, Known> known_;
  std::deque<base::Instant> said_;  ///< in the last minute
  std::uint64_t left_out_ = 0;
  base::Instant count_from_{};  ///< when they may be told again
};

}  // namespace panewalk::web
