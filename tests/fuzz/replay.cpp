#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <memory>
#include <string>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

/// In a heap block of exactly its size.
bool replay(const std::filesystem::path& path) {
  std::ifstream file{path, std::ios::binary};
  const std::string octets{std::istreambuf_iterator<char>{file}, {}};
  if (!file) {
    std::fprintf(stderr, "%s: can't be read\n", path.c_str());
    return false;
  }
  const auto block = std::make_unique<std::uint8_t[]>(octets.size());
  std::copy(octets.begin(), octets.end(), block.get());
  LLVMFuzzerTestOneInput(block.get(), octets.size());
  return true;
}

}  // namespace

/// Runs files, and all files of folders, through the fuzz target that it is linked with. None at
/// all is an error.
int main(int argc, char** argv) {
  std::vector<std::filesystem::path> files;
  for (int i = 1; i < argc; ++i) {
    if (!std::filesystem::is_directory(argv[i])) {
      files.emplace_back(argv[i]);
      continue;
    }
    for (const auto& entry : std::filesystem::directory_iterator{argv[i]}) {
      files.push_back(entry.path());
    }
  }
  bool all_read = !files.empty();
  for (const std::filesystem::path& path : files) all_read = replay(path) && all_read;
  std::printf("%zu files replayed\n", files.size());
  return all_read ? 0 : 1;
}
