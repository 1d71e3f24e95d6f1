#pragma once

#include <sys/types.h>

#include <chrono>
#include <string>
#include <vector>

#include "io/handle.hpp"

namespace panewalk::bench {

/// A program that we talk with by lines. It is killed at the end.
class Child {
 public:
  /// `environment` is added to our own: "NAME=value".
  explicit Child(const std::vector<std::string>& command,
                 const std::vector<std::string>& environment = {});
  ~Child();
  Child(const Child&) = delete;
  Child& operator=(const Child&) = delete;

  void say(const std::string& line);
  /// The next line of its output without its end; "" where it ends.
  std::string line();
  [[nodiscard]] pid_t id() const { return id_; }
  /// When it was started.
  [[nodiscard]] std::chrono::steady_clock::time_point started() const { return started_; }

 private:
  pid_t id_ = -1;
  io::Handle in_, out_;
  std::string rest_;
  std::chrono::steady_clock::time_point started_;
};

}  // namespace panewalk::bench
