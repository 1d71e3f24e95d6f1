#include "architecture/source_text.hpp"

#include <cctype>
#include <cstdint>

namespace panewalk::architecture {
namespace {

bool word_character(char c) { return std::isalnum(static_cast<unsigned char>(c)) != 0 || c == '_'; }

/// Blanks out comments in one copy and comments and quotes in the other; line ends stay.
class Blanker {
 public:
  explicit Blanker(std::string_view text) : text_(text), without_comments_(text), code_(text) {}

  void run() {
    while (at_ < text_.size()) {
      if (starts("//")) {
        blank_comment(text_.find('\n', at_));
      } else if (starts("/*")) {
        const auto end = text_.find("*/", at_ + 2);
        blank_comment(end == std::string_view::npos ? end : end + 2);
      } else if (starts("R\"") && (at_ == 0 || !word_character(text_[at_ - 1]))) {
        skip_raw_string();
      } else if (text_[at_] == '"') {
        skip_quoted('"');
      } else if (text_[at_] == '\'' && !is_digit_separator()) {
        skip_quoted('\'');
      } else {
        ++at_;
      }
    }
  }

  const std::string& without_comments() const { return without_comments_; }
  const std::string& code() const { return code_; }

 private:
  bool starts(std::string_view what) const { return text_.substr(at_, what.size()) == what; }

  /// 1'000: inside a word that begins with a digit.
  bool is_digit_separator() const {
    std::size_t start = at_;
    while (start > 0 && (word_character(text_[start - 1]) || text_[start - 1] == '\'')) --start;
    return start < at_ && std::isdigit(static_cast<unsigned char>(text_[start])) != 0;
  }

  void blank_comment(std::size_t end) {
    if (end == std::string_view::npos) end = text_.size();
    blank(without_comments_, at_, end);
    blank(code_, at_, end);
    at_ = end;
  }

  void skip_raw_string() {
    const auto open = text_.find('(', at_);
    if (open == std::string_view::npos) {
      at_ = text_.size();
      return;
    }
    const std::string close = ")" + std::string(text_.substr(at_ + 2, open - at_ - 2)) + "\"";
    const auto end = text_.find(close, open);
    const auto after = end == std::string_view::npos ? text_.size() : end + close.size();
    blank(code_, at_, after);
    at_ = after;
  }

  void skip_quoted(char quote) {
    std::size_t end = at_ + 1;
    while (end < text_.size() && text_[end] != quote && text_[end] != '\n') {
      end += text_[end] == '\\' ? 2U : 1U;
    }
    end = end < text_.size() ? end : text_.size();
    blank(code_, at_ + 1, end);
    at_ = end < text_.size() ? end + 1 : end;
  }

  static void blank(std::string& copy, std::size_t from, std::size_t to) {
    for (std::size_t i = from; i < to; ++i) {
      if (copy[i] != '\n') copy[i] = ' ';
    }
  }

  std::string_view text_;
  std::string without_comments_;
  std::string code_;
  std::size_t at_ = 0;
};

}  // namespace

std::vector<std::string> split_lines(std::string_view text) {
  std::vector<std::string> lines;
  while (!text.empty()) {
    const auto end = text.find('\n');
    lines.emplace_back(text.substr(0, end));
    text = end == std::string_view::npos ? std::string_view{} : text.substr(end + 1);
  }
  return lines;
}

SourceText read_source(std::string_view text) {
  Blanker blanker{text};
  blanker.run();
  return {split_lines(text), split_lines(blanker.without_comments()), split_lines(blanker.code())};
}

bool is_utf8(std::string_view text) {
  std::size_t at = 0;
  const auto octet = [&](std::size_t i) { return static_cast<std::uint8_t>(text[i]); };
  while (at < text.size()) {
    const std::uint32_t first = octet(at);
    std::size_t more = 0;
    std::uint32_t value = first;
    std::uint32_t least = 0;
    if (first >= 0xF0 && first <= 0xF4) {
      more = 3, value = first & 0x07U, least = 0x10000;
    } else if (first >= 0xE0 && first < 0xF0) {
      more = 2, value = first & 0x0FU, least = 0x800;
    } else if (first >= 0xC2 && first < 0xE0) {
      more = 1, value = first & 0x1FU, least = 0x80;
    } else if (first >= 0x80) {
      return false;
    }
    if (text.size() - at <= more) return false;
    for (std::size_t i = 1; i <= more; ++i) {
      const std::uint32_t next = octet(at + i);
      if ((next & 0xC0U) != 0x80U) return false;
      value = (value << 6U) | (next & 0x3FU);
    }
    const bool surrogate = value >= 0xD800 && value <= 0xDFFF;
    if (value < least || surrogate || value > 0x10FFFF) return false;
    at += 1 + more;
  }
  return true;
}

}  // namespace panewalk::architecture
