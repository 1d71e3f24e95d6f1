// A library to preload: passes on every call of the malloc family and counts it. A replaced
// operator new would miss aligned_alloc and what libraries in C take. glibc only.
//
//   panewalk_allocations()      calls that asked for memory, by all threads
//   panewalk_allocations_here() the same by the calling thread
//   panewalk_frees()            calls that gave memory back, by all threads
//
// Found with dlsym; not there means not preloaded. Read them before and after what is measured.

#include <atomic>
#include <cerrno>
#include <cstddef>
#include <cstdint>

extern "C" {
// NOLINTBEGIN(bugprone-reserved-identifier): glibc's names of its own allocator.
void* __libc_malloc(std::size_t size);
void* __libc_calloc(std::size_t count, std::size_t size);
void* __libc_realloc(void* memory, std::size_t size);
void* __libc_memalign(std::size_t alignment, std::size_t size);
void* __libc_valloc(std::size_t size);
void* __libc_pvalloc(std::size_t size);
void __libc_free(void* memory);
// NOLINTEND(bugprone-reserved-identifier)
}

namespace {

std::atomic<std::uint64_t> allocations{0};
std::atomic<std::uint64_t> frees{0};
// Other models of thread storage may allocate at the first touch.
__attribute__((tls_model("initial-exec"))) thread_local std::uint64_t allocations_here = 0;

void count() {
  allocations.fetch_add(1, std::memory_order_relaxed);
  ++allocations_here;
}

}  // namespace

extern "C" {

std::uint64_t panewalk_allocations() { return allocations.load(std::memory_order_relaxed); }
std::uint64_t panewalk_allocations_here() { return allocations_here; }
std::uint64_t panewalk_frees() { return frees.load(std::memory_order_relaxed); }

void* malloc(std::size_t size) {
  count();
  return __libc_malloc(size);
}
void* calloc(std::size_t number, std::size_t size) {
  count();
  return __libc_calloc(number, size);
}
void* realloc(void* memory, std::size_t size) {
  count();
  return __libc_realloc(memory, size);
}
void* reallocarray(void* memory, std::size_t number, std::size_t size) {
  count();
  std::size_t octets = 0;
  if (__builtin_mul_overflow(number, size, &octets)) {
    errno = ENOMEM;
    return nullptr;
  }
  return __libc_realloc(memory, octets);
}
void* memalign(std::size_t alignment, std::size_t size) {
  count();
  return __libc_memalign(alignment, size);
}
void* aligned_alloc(std::size_t alignment, std::size_t size) {
  count();
  return __libc_memalign(alignment, size);
}
int posix_memalign(void** memory, std::size_t alignment, std::size_t size) {
  count();
  if (alignment % sizeof(void*) != 0 || (alignment & (alignment - 1)) != 0 || alignment == 0) {
    return EINVAL;
  }
  void* got = __libc_memalign(alignment, size);
  if (got == nullptr) return ENOMEM;
  *memory = got;
  return 0;
}
void* valloc(std::size_t size) {
  count();
  return __libc_valloc(size);
}
void* pvalloc(std::size_t size) {
  count();
  return __libc_pvalloc(size);
}
void free(void* memory) {
  if (memory != nullptr) frees.fetch_add(1, std::memory_order_relaxed);
  __libc_free(memory);
}

}  // extern "C"
