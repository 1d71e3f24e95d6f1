#pragma once

#include <ostream>
#include <streambuf>
#include <string_view>

namespace panewalk::cli {

/// What a line of the log means; the numbers are syslog's (RFC 5424, 6.2.1). No other is used.
enum class LogLevel {
  kError = 3,    ///< something promised does not happen until somebody acts
  kWarning = 4,  ///< it goes on, but somebody should look
  kNotice = 5,   ///< a state changed as it should
  kInfo = 6,     ///< for whoever reads along
};

/// Whether a descriptor leads to the journal: its device and inode are what $JOURNAL_STREAM says,
/// "8:12345" (systemd.exec(5)).
bool is_journal(int descriptor, std::string_view journal_stream);

/// Puts "<N>" before each line on its way to another buffer. The journal takes it for the line's
/// level and does not keep it (sd-daemon(3)).
class JournalBuffer : public std::streambuf {
 public:
  /// `usual` is the level of what was written without one.
  JournalBuffer(std::streambuf& to, LogLevel usual) : to_{to}, usual_{usual}, level_{usual} {}

  /// Of the lines from here on.
  void set_level(LogLevel level) { level_ = level; }
  void set_usual_level() { level_ = usual_; }

 protected:
  int_type overflow(int_type character) override;
  int sync() override { return to_.pubsync(); }

 private:
  std::streambuf& to_;
  LogLevel usual_, level_;
  bool at_line_start_ = true;
};

/// Writes whole lines at a level; the level is seen only where the stream leads to the journal.
void write_at(std::ostream& stream, LogLevel level, std::string_view lines);

}  // namespace panewalk::cli
