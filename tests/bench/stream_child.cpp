#include "bench/stream_child.hpp"

#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>

namespace panewalk::bench {
namespace {

std::vector<char*> pointers_to(std::vector<std::string>& texts) {
  std::vector<char*> all;
  for (std::string& text : texts) all.push_back(text.data());
  all.push_back(nullptr);
  return all;
}

}  // namespace

Child::Child(const std::vector<std::string>& command, const std::vector<std::string>& environment) {
  std::array<int, 2> in{}, out{};
  if (::pipe2(in.data(), O_CLOEXEC) != 0 || ::pipe2(out.data(), O_CLOEXEC) != 0) std::abort();
  io::Handle read{in[0]}, write{out[1]};
  in_ = io::Handle{in[1]};
  out_ = io::Handle{out[0]};
  posix_spawn_file_actions_t files;
  ::posix_spawn_file_actions_init(&files);
  ::posix_spawn_file_actions_adddup2(&files, read.get(), 0);
  ::posix_spawn_file_actions_adddup2(&files, write.get(), 1);
  std::vector<std::string> words = command, variables = environment;
  for (char** one = environ; *one != nullptr; ++one) variables.emplace_back(*one);
  started_ = std::chrono::steady_clock::now();
  const int error = ::posix_spawnp(&id_, command.front().c_str(), &files, nullptr,
                                   pointers_to(words).data(), pointers_to(variables).data());
  ::posix_spawn_file_actions_destroy(&files);
  if (error != 0) {
    std::fprintf(stderr, "stream_benchmark: %s: %s\n", command.front().c_str(),
                 std::strerror(error));
    std::exit(1);
  }
}

Child::~Child() {
  ::kill(id_, SIGKILL);
  ::waitpid(id_, nullptr, 0);
}

void Child::say(const std::string& line) {
  const std::string text = line + "\n";
  if (::write(in_.get(), text.data(), text.size()) < 0) std::perror("stream_benchmark: a program");
}

std::string Child::line() {
  for (std::size_t end = 0; (end = rest_.find('\n')) == std::string::npos;) {
    std::array<char, 4096> octets{};
    const ssize_t got = ::read(out_.get(), octets.data(), octets.size());
    if (got <= 0) return "";
    rest_.append(octets.data(), static_cast<std::size_t>(got));
  }
  const std::size_t end = rest_.find('\n');
  std::string first = rest_.substr(0, end);
  rest_.erase(0, end + 1);
  return first;
}

}  // namespace panewalk::bench
