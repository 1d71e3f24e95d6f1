#include "site/difference.hpp"

#include <algorithm>
#include <string_view>
#include <vector>

namespace panewalk::site {
namespace {

constexpr std::size_t kAround = 3;             // lines
constexpr std::size_t kMostCells = 4'000'000;  // of the table of common lines

std::vector<std::string_view> lines_of(std::string_view text) {
  std::vector<std::string_view> lines;
  while (!text.empty()) {
    const std::size_t size = std::min(text.find('\n'), text.size() - 1) + 1;
    lines.push_back(text.substr(0, size));
    text.remove_prefix(size);
  }
  return lines;
}

struct Line {
  char mark = ' ';
  std::string_view text;
};

using Lines = std::vector<std::string_view>;

/// What stays and what goes of two texts that differ in their first and last lines, by the longest
/// row of lines that both have in common.
void compare(const Lines& before, const Lines& after, std::vector<Line>& all) {
  const std::size_t rows = before.size() + 1;
  const std::size_t columns = after.size() + 1;
  std::size_t i = 0;
  std::size_t j = 0;
  if (rows * columns <= kMostCells) {
    std::vector<std::uint32_t> common(rows * columns);
    const auto cell = [&common, columns](std::size_t row, std::size_t column) -> std::uint32_t& {
      return common[row * columns + column];
    };
    for (std::size_t row = rows - 1; row-- > 0;) {
      for (std::size_t column = columns - 1; column-- > 0;) {
        cell(row, column) = before[row] == after[column]
                                ? cell(row + 1, column + 1) + 1
                                : std::max(cell(row + 1, column), cell(row, column + 1));
      }
    }
    while (i < before.size() && j < after.size()) {
      if (before[i] == after[j]) {
        all.push_back({' ', before[i++]});
        ++j;
      } else if (cell(i + 1, j) >= cell(i, j + 1)) {
        all.push_back({'-', before[i++]});
      } else {
        all.push_back({'+', after[j++]});
      }
    }
  }
  for (; i < before.size(); ++i) all.push_back({'-', before[i]});
  for (; j < after.size(); ++j) all.push_back({'+', after[j]});
}

std::vector<Line> compared(const Lines& before, const Lines& after) {
  const std::size_t least = std::min(before.size(), after.size());
  std::size_t head = 0;
  while (head < least && before[head] == after[head]) ++head;
  std::size_t tail = 0;
  while (tail < least - head &&
         before[before.size() - 1 - tail] == after[after.size() - 1 - tail]) {
    ++tail;
  }
  using Steps = std::ptrdiff_t;
  const auto middle = [head, tail](const Lines& lines) {
    return Lines(lines.begin() + static_cast<Steps>(head), lines.end() - static_cast<Steps>(tail));
  };
  std::vector<Line> all;
  for (std::size_t i = 0; i < head; ++i) all.push_back({' ', before[i]});
  compare(middle(before), middle(after), all);
  for (std::size_t i = before.size() - tail; i < before.size(); ++i) {
    all.push_back({' ', before[i]});
  }
  return all;
}

/// "3,7": where lines begin and how many they are. Of none the place before them is told.
std::string range(std::size_t lines_before, std::size_t count) {
  const std::string from = std::to_string(count == 0 ? lines_before : lines_before + 1);
  return count == 1 ? from : from + ',' + std::to_string(count);
}

}  // namespace

std::string unified_difference(const std::string& file, const std::string& before,
                               const std::string& after) {
  if (before == after) return "";
  const std::vector<Line> lines = compared(lines_of(before), lines_of(after));
  std::string text = "--- " + file + "\n+++ " + file + " (corrected)\n";
  const auto changed = [&lines](std::size_t i) { return lines[i].mark != ' '; };
  std::size_t old_line = 0;
  std::size_t new_line = 0;
  std::size_t done = 0;
  for (std::size_t next = 0; next < lines.size(); ++next) {
    if (!changed(next)) continue;
    const std::size_t first = std::max(done, next - std::min(next, kAround));
    std::size_t last = next;
    for (std::size_t i = next; i < lines.size() && i <= last + 2 * kAround + 1; ++i) {
      if (changed(i)) last = i;
    }
    const std::size_t end = std::min(last + 1 + kAround, lines.size());
    old_line += first - done;
    new_line += first - done;
    std::size_t old_count = 0;
    std::size_t new_count = 0;
    std::string hunk;
    for (std::size_t i = first; i < end; ++i) {
      if (lines[i].mark != '+') ++old_count;
      if (lines[i].mark != '-') ++new_count;
      hunk += lines[i].mark;
      hunk += lines[i].text;
      if (lines[i].text.back() != '\n') hunk += "\n\\ No newline at end of file\n";
    }
    text +=
        "@@ -" + range(old_line, old_count) + " +" + range(new_line, new_count) + " @@\n" + hunk;
    old_line += old_count;
    new_line += new_count;
    done = end;
    next = end - 1;
  }
  return text;
}

}  // namespace panewalk::site
