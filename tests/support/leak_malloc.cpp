// A library to preload: a program that loses memory, to see that the soak says so. With every
// 1000th call of malloc another block of that size is asked for, written to and forgotten. glibc
// only.

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <cstring>

extern "C" {
// NOLINTNEXTLINE(bugprone-reserved-identifier): glibc's name of its own allocator.
void* __libc_malloc(std::size_t size);

void* malloc(std::size_t size) {
  static std::atomic<std::uint64_t> calls{0};
  if (calls.fetch_add(1, std::memory_order_relaxed) % 100 == 99) {
    void* lost = __libc_malloc(size);
    if (lost != nullptr) std::memset(lost, 1, size);
  }
  return __libc_malloc(size);
}

}  // extern "C"
