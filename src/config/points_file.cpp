#include "config/points_file.hpp"

#include "config/amounts.hpp"
#include "config/locator.hpp"
#include "config/syntax.hpp"

namespace panewalk::config {
namespace {

constexpr std::size_t kMostPoints = 20'000;
constexpr std::size_t kMostProblems = 1000;
constexpr std::string_view kBlanks = " \t\r";

/// A stretch of the text without the blanks around it.
struct Piece {
  std::size_t offset = 0;
  std::string_view text;
};

Piece trimmed(std::string_view all, std::size_t from, std::size_t to) {
  while (from < to && kBlanks.find(all[from]) != std::string_view::npos) ++from;
  while (to > from && kBlanks.find(all[to - 1]) != std::string_view::npos) --to;
  return {from, all.substr(from, to - from)};
}

class PointsReader {
 public:
  explicit PointsReader(std::string_view text) : text_{text}, lines_{text} {}

  void read() {
    bool first = true;
    for (std::size_t from = 0; from <= text_.size() && problems_.size() < kMostProblems;) {
      const std::size_t end = std::min(text_.find('\n', from), text_.size());
      read_line(trimmed(text_, from, end), end, first);
      from = end + 1;
    }
    if (points_.empty() && problems_.empty()) {
      refuse(0, "no points", "two lengths a line, such as 80 mm, 1.2 m");
    }
  }

  base::Result<std::vector<base::Point>> result() {
    if (!problems_.empty()) return std::move(problems_);
    return std::move(points_);
  }

  void refuse(std::size_t offset, std::string what, std::string remedy) {
    const Position position = lines_.at(offset);
    problems_.push_back({.line = position.line,
                         .column = position.column,
                         .what = std::move(what),
                         .remedy = std::move(remedy)});
  }

 private:
  void read_line(const Piece& line, std::size_t end, bool& first) {
    if (line.text.empty()) return;
    const std::size_t comma = text_.substr(0, end).find(',', line.offset);
    const bool is_first = std::exchange(first, false);
    if (comma == std::string_view::npos) {
      refuse(line.offset, base::quoted(line.text) + " is one thing, not two lengths",
             "a comma between them, such as 80 mm, 1.2 m");
      return;
    }
    const Piece x = trimmed(text_, line.offset, comma);
    const Piece y = trimmed(text_, comma + 1, end);
    if (is_first && x.text == "x" && y.text == "y") return;
    if (points_.size() == kMostPoints) {
      if (problems_.empty()) refuse(line.offset, "too many points", "at most 20000");
      return;
    }
    const base::Millimetres right = coordinate(x);
    points_.push_back({right, coordinate(y)});
  }

  /// Says of a length what a JSON file would be told.
  base::Millimetres coordinate(const Piece& piece) {
    Report report;
    const Node node{.kind = Node::Kind::kString, .text = std::string{piece.text}};
    const base::Millimetres amount = length({&node, "", &report}, kOnProp);
    for (base::Problem& problem : report.take({})) {
      refuse(piece.offset, std::move(problem.what), std::move(problem.remedy));
    }
    return amount;
  }

  std::string_view text_;
  Lines lines_;
  std::vector<base::Point> points_;
  base::Problems problems_;
};

}  // namespace

base::Result<std::vector<base::Point>> read_points(std::string_view text) {
  // A spreadsheet may put a byte order mark in front; in a table it does no harm.
  if (text.substr(0, 3) == "\xef\xbb\xbf") text.remove_prefix(3);
  PointsReader reader{text};
  if (text.size() > kProjectFile.bytes) {
    reader.refuse(0, "the text has " + std::to_string(text.size()) + " bytes",
                  "at most " + std::to_string(kProjectFile.bytes));
  } else if (const auto fault = unreadable(text)) {
    reader.refuse(fault->offset, fault->what, fault->remedy);
  } else {
    reader.read();
  }
  return reader.result();
}

}  // namespace panewalk::config
