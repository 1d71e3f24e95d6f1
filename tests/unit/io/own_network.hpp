#pragma once

#include <gtest/gtest.h>
#include <sched.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>

namespace panewalk::test {

inline constexpr int kNotAllowed = 77;

/// Runs in a child that has a network of its own, with its loopback down. 0 is well.
inline int in_own_network(int (*run)()) {
  const pid_t child = ::fork();
  if (child == 0) {
    const bool made = ::unshare(CLONE_NEWNET) == 0 || ::unshare(CLONE_NEWUSER | CLONE_NEWNET) == 0;
    ::_exit(made ? run() : kNotAllowed);
  }
  int status = 0;
  EXPECT_EQ(::waitpid(child, &status, 0), child);
  EXPECT_TRUE(WIFEXITED(status));
  return WEXITSTATUS(status);
}

inline bool shell(const char* command) { return std::system(command) == 0; }

}  // namespace panewalk::test
