#pragma once

namespace panewalk::base {

/// What happens when the program finds a bug of its own (never for bad input, which is a Problem).
/// The default prints the place and aborts, so that the farewell of the crash handler runs.
/// Tests may swap it for one that throws.
using BugHandler = void (*)(const char* file, int line, const char* fact);

/// Returns the handler that was there before. Not for use while other threads run.
BugHandler set_bug_handler(BugHandler handler) noexcept;

[[noreturn]] void bug_found(const char* file, int line, const char* fact);

}  // namespace panewalk::base

/// Kept in release builds: a broken promise inside the program must not light anything.
#define PANEWALK_CHECK(fact) \
  ((fact) ? static_cast<void>(0) : ::panewalk::base::bug_found(__FILE__, __LINE__, #fact))
