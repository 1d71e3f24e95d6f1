#pragma once

#include <iosfwd>

namespace panewalk::cli {

/// Where a command writes, and what that place can show.
struct Console {
  std::ostream& out;
  std::ostream& err;
  bool out_is_terminal = false;
  bool err_is_terminal = false;
  bool out_is_file = false;  ///< that stays: whoever reads it later wants to know when
  bool err_is_file = false;
  bool in_is_terminal = false;
  bool has_terminal = false;  ///< one controls this process, wherever its input comes from
  bool colour = false;        ///< a terminal, and NO_COLOR is not set
  int columns = 80;
  int rows = 24;

  /// The same place by way of another stream.
  [[nodiscard]] Console by_way_of(std::ostream& other) const {
    return {.out = other,
            .err = err,
            .out_is_terminal = out_is_terminal,
            .err_is_terminal = err_is_terminal,
            .out_is_file = out_is_file,
            .err_is_file = err_is_file,
            .in_is_terminal = in_is_terminal,
            .has_terminal = has_terminal,
            .colour = colour,
            .columns = columns,
            .rows = rows};
  }
};

/// Exit status of every command.
enum Exit : int { kDone = 0, kFailed = 1, kUsage = 2, kFaultyInput = 3 };

}  // namespace panewalk::cli
