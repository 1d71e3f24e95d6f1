// A library to preload: passes on every call of the malloc family and counts it. A replaced
// operator new would miss aligned_alloc and what libraries in C take. glibc only.
//
//   panewalk_allocations()      calls that asked for memory, by all threads
//   panewalk_allocations_here() the same by the calling thread
//   panewalk_frees()            calls that gave memory back, by all threads
//
// Found with dlsym; not there means not preloaded. Read them before and after what is measured.
//
// From outside the process: where PANEWALK_COUNTS names a file, that file holds three numbers of 64
// bits a thread, in the machine's order, always as they are now: thread id, calls that asked for
// memory, calls that gave it back. A thread that has made no call has no entry; 0 is no thread.

#include <fcntl.h>
#include <sys/mman.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <cstddef>
#include <cstdint>
#include <cstdlib>

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

struct Entry {
  std::atomic<std::uint64_t> thread;
  std::atomic<std::uint64_t> allocations;
  std::atomic<std::uint64_t> frees;
};
constexpr std::size_t kMostThreads = 256;
std::atomic<Entry*> entries{nullptr};
std::atomic<std::size_t> entries_taken{0};
__attribute__((tls_model("initial-exec"))) thread_local Entry* entry_here = nullptr;

// Nothing in here may ask for memory.
__attribute__((constructor)) void share_counts() {
  const char* path = std::getenv("PANEWALK_COUNTS");
  if (path == nullptr) return;
  const int file = ::open(path, O_RDWR | O_CREAT | O_CLOEXEC, 0600);
  if (file < 0 || ::ftruncate(file, kMostThreads * sizeof(Entry)) != 0) std::abort();
  void* shared =
      ::mmap(nullptr, kMostThreads * sizeof(Entry), PROT_READ | PROT_WRITE, MAP_SHARED, file, 0);
  if (shared == MAP_FAILED) std::abort();
  ::close(file);
  entries = static_cast<Entry*>(shared);
}

Entry* entry() {
  if (entry_here != nullptr) return entry_here;
  Entry* const all = entries.load(std::memory_order_acquire);
  if (all == nullptr) return nullptr;
  const std::size_t index = entries_taken.fetch_add(1);
  if (index >= kMostThreads) std::abort();
  entry_here = &all[index];
  entry_here->thread = static_cast<std::uint64_t>(::syscall(SYS_gettid));
  return entry_here;
}

void count() {
  allocations.fetch_add(1, std::memory_order_relaxed);
  ++allocations_here;
  if (Entry* mine = entry()) mine->allocations.fetch_add(1, std::memory_order_relaxed);
}

void count_free() {
  frees.fetch_add(1, std::memory_order_relaxed);
  if (Entry* mine = entry()) mine->frees.fetch_add(1, std::memory_order_relaxed);
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
  if (memory != nullptr) count_free();
  __libc_free(memory);
}

}  // extern "C"
