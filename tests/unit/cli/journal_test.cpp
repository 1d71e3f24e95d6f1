#include "cli/journal.hpp"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <sstream>

namespace panewalk::cli {
namespace {

TEST(Journal, PutsALevelBeforeEachLine) {
  std::ostringstream journal;
  JournalBuffer buffer{*journal.rdbuf(), LogLevel::kInfo};
  std::ostream stream{&buffer};
  stream << "ready at " << 8017 << "\n";
  write_at(stream, LogLevel::kWarning, "bench is cut off\nlook at its wire\n");
  stream << "\nbench is back\n";
  // Levels 4 and 6: warning and informational, RFC 5424 table 2.
  EXPECT_EQ(journal.str(),
            "<6>ready at 8017\n<4>bench is cut off\n<4>look at its wire\n<6>\n<6>bench is back\n");
}

TEST(Journal, LeavesOtherStreamsAsTheyAre) {
  std::ostringstream terminal;
  write_at(terminal, LogLevel::kError, "the port is taken\n");
  EXPECT_EQ(terminal.str(), "the port is taken\n");
}

TEST(Journal, TellsAWriteThatFails) {
  std::stringbuf shut{std::ios::in};
  JournalBuffer buffer{shut, LogLevel::kInfo};
  std::ostream stream{&buffer};
  stream << "x\n";
  EXPECT_FALSE(stream);
}

TEST(Journal, IsKnownByDeviceAndInode) {
  const int null = ::open("/dev/null", O_WRONLY | O_CLOEXEC);
  ASSERT_GE(null, 0);
  struct stat status {};
  ASSERT_EQ(::fstat(null, &status), 0);
  const std::string name = std::to_string(status.st_dev) + ":" + std::to_string(status.st_ino);
  EXPECT_TRUE(is_journal(null, name));
  EXPECT_FALSE(is_journal(null, name + "0"));
  EXPECT_FALSE(is_journal(null, ""));
  ::close(null);
  EXPECT_FALSE(is_journal(null, name)) << "no longer open";
}

}  // namespace
}  // namespace panewalk::cli
