#pragma once

#include <optional>
#include <string>

namespace panewalk::io {

/// A descriptor read by lines, for a program that must hear its signals meanwhile: it never waits
/// for the rest of a line.
class LineInput {
 public:
  /// Octets of the longest line; of a longer one only its beginning is kept.
  static constexpr std::size_t kLongest = 64U << 10U;

  explicit LineInput(int descriptor) : descriptor_{descriptor} {}

  /// Takes what is there. To be called when something is (Signals::wait): else it waits for it.
  /// False at the end of the input, and where it is broken.
  bool take();
  /// The next whole line without its end; after the end of the input also what it ended in.
  std::optional<std::string> next();
  [[nodiscard]] bool ended() const { return ended_; }

 private:
  int descriptor_;
  std::string kept_;            ///< what was read and not given yet
  std::size_t unfinished_ = 0;  ///< octets of the last line, whose end has not come
  bool ended_ = false;
};

}  // namespace panewalk::io
