#pragma once

#include <cstdint>
#include <deque>
#include <functional>
#include <string>

#include "base/instant.hpp"
#include "base/result.hpp"
#include "cli/console.hpp"
#include "cli/journal.hpp"
#include "io/clock.hpp"

namespace panewalk::cli {

/// The log of a daemon: what is wrong, and when it is over, to standard error, the rest to standard
/// output. What goes beyond its bound is left out and counted, so that nothing from outside can
/// fill a disk. In a file each line has its time (UTC); the journal has one of its own, and whoever
/// sits at a terminal has a watch.
class Log {
 public:
  using Clock = std::function<base::Instant()>;
  using WallClock = std::int64_t (*)();  ///< seconds since 1970
  Log(const Console& console, Clock now, WallClock wall = io::utc_now)
      : out_{console.out, console.out_is_file},
        err_{console.err, console.err_is_file},
        now_{std::move(now)},
        wall_{wall} {}

  /// One message of whole lines; an empty one is none.
  void say(LogLevel level, const std::string& lines);
  /// "panewalk: ", the words and the end of the line.
  void say_briefly(LogLevel level, const std::string& words) {
    say(level, "panewalk: " + words + "\n");
  }
  /// The beginning of a trouble is a warning, its end a notice.
  void say_trouble(bool over, const std::string& words);
  /// A line for each; none where there are none.
  void say(LogLevel level, const base::Problems& problems);

  static constexpr std::size_t kMostInMinute = 60;

 private:
  [[nodiscard]] bool has_room(base::Instant now);
  struct Place {
    std::ostream& stream;
    bool is_file;
  };
  void say_in(const Place& place, LogLevel level, const std::string& lines);
  void write_in(const Place& place, LogLevel level, const std::string& lines) const;

  Place out_, err_;
  Clock now_;
  WallClock wall_;
  std::deque<base::Instant> said_;  ///< in the last minute
  std::uint64_t left_out_ = 0;
};

}  // namespace panewalk::cli
