#include "base/check.hpp"

#include <cstdio>
#include <cstdlib>

namespace panewalk::base {
namespace {

void print_and_abort(const char* file, int line, const char* fact) {
  std::fprintf(stderr, "panewalk: bug at %s:%d: expected %s\n", file, line, fact);
  std::abort();
}

BugHandler handler = print_and_abort;

}  // namespace

BugHandler set_bug_handler(BugHandler next) noexcept {
  const BugHandler before = handler;
  handler = next;
  return before;
}

void bug_found(const char* file, int line, const char* fact) {
  handler(file, line, fact);
  std::abort();
}

}  // namespace panewalk::base
