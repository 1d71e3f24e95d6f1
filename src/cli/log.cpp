#include "cli/log.hpp"

#include <chrono>
#include <sstream>

#include "base/utc.hpp"

namespace panewalk::cli {

bool Log::has_room(base::Instant now) {
  while (!said_.empty() && now - said_.front() >= std::chrono::minutes{1}) said_.pop_front();
  return said_.size() < kMostInMinute;
}

void Log::say(LogLevel level, const std::string& lines) {
  say_in(level <= LogLevel::kWarning ? err_ : out_, level, lines);
}

void Log::say_trouble(bool over, const std::string& words) {
  say_in(err_, over ? LogLevel::kNotice : LogLevel::kWarning, "panewalk: " + words + "\n");
}

void Log::say_in(const Place& place, LogLevel level, const std::string& lines) {
  if (lines.empty()) return;
  const base::Instant now = now_();
  if (!has_room(now)) {
    ++left_out_;
    return;
  }
  if (left_out_ > 0) {
    write_in(err_, LogLevel::kWarning,
             "panewalk: left out of this log, for there were too many: " +
                 std::to_string(left_out_) + "\n");
    left_out_ = 0;
  }
  said_.push_back(now);
  write_in(place, level, lines);
}

void Log::write_in(const Place& place, LogLevel level, const std::string& lines) const {
  if (!place.is_file) return write_at(place.stream, level, lines);
  const std::string time = base::utc_text(wall_()) + "  ";
  std::string timed;
  std::istringstream in{lines};
  for (std::string line; std::getline(in, line);) timed += time + line + '\n';
  write_at(place.stream, level, timed);
}

void Log::say(LogLevel level, const base::Problems& problems) {
  std::string lines;
  for (const base::Problem& problem : problems) lines += base::to_line(problem) + '\n';
  say(level, lines);
}

}  // namespace panewalk::cli
