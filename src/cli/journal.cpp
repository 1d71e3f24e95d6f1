#include "cli/journal.hpp"

#include <sys/stat.h>

#include <string>

namespace panewalk::cli {

bool is_journal(int descriptor, std::string_view journal_stream) {
  struct stat status {};
  if (::fstat(descriptor, &status) != 0) return false;
  return journal_stream == std::to_string(status.st_dev) + ":" + std::to_string(status.st_ino);
}

JournalBuffer::int_type JournalBuffer::overflow(int_type character) {
  if (traits_type::eq_int_type(character, traits_type::eof())) return sync() == 0 ? 0 : character;
  if (at_line_start_) {
    const std::string prefix = "<" + std::to_string(static_cast<int>(level_)) + ">";
    const auto length = static_cast<std::streamsize>(prefix.size());
    if (to_.sputn(prefix.data(), length) != length) return traits_type::eof();
  }
  const char written = traits_type::to_char_type(character);
  at_line_start_ = written == '\n';
  return to_.sputc(written);
}

void write_at(std::ostream& stream, LogLevel level, std::string_view lines) {
  auto* const journal = dynamic_cast<JournalBuffer*>(stream.rdbuf());
  if (journal != nullptr) journal->set_level(level);
  stream << lines << std::flush;
  if (journal != nullptr) journal->set_usual_level();
}

}  // namespace panewalk::cli
