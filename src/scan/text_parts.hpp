#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "scan/report.hpp"
#include "scan/words.hpp"

/// The parts of `as_text`.
namespace panewalk::scan {

class Page {
 public:
  explicit Page(std::size_t columns) : columns_{columns} {}

  void heading(std::string_view text) {
    text_ += '\n';
    line(0, text);
  }
  /// Wrapped; what does not fit in the first line hangs at `hang`, or at the indent.
  void line(std::size_t indent, std::string_view text, std::optional<std::size_t> hang = {}) {
    text_ += wrapped(text, indent, hang.value_or(indent), columns_);
  }
  [[nodiscard]] std::string text() && { return std::move(text_); }

 private:
  std::size_t columns_;
  std::string text_;
};

void tell_e131(Page& page, const Report& report);
void tell_artnet(Page& page, const Report& report);

/// Streams that are told together: "39.9 to 40.1 per second, 3 of 480 lost, 1 late".
class Combined {
 public:
  void add(const Counts& counts);
  [[nodiscard]] std::string text() const;

 private:
  Counts sum_;
  std::optional<double> slowest_, fastest_;
};

/// A flood must not fill the terminal: so many lines of a kind, the rest is in the JSON.
inline constexpr std::size_t kMostLines = 40;
/// "and 12 more; --as json has all of them", if there are more.
void tell_more(Page& page, std::size_t indent, std::size_t all);

}  // namespace panewalk::scan
