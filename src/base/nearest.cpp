#include "base/nearest.hpp"

#include <algorithm>
#include <cctype>

#include "base/problem.hpp"

namespace panewalk::base {
namespace {

std::string small_letters(std::string_view word) {
  std::string small{word};
  for (char& letter : small) {
    letter = static_cast<char>(std::tolower(static_cast<unsigned char>(letter)));
  }
  return small;
}

}  // namespace

std::size_t edits_between(std::string_view a, std::string_view b) {
  // Damerau's restricted distance: three rows are enough.
  std::vector<std::size_t> before_last(b.size() + 1);
  std::vector<std::size_t> last(b.size() + 1);
  std::vector<std::size_t> now(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) now[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    before_last = last;
    last = now;
    now[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t replace = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      now[j] = std::min({last[j] + 1, now[j - 1] + 1, replace});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) {
        now[j] = std::min(now[j], before_last[j - 2] + 1);
      }
    }
  }
  return now[b.size()];
}

std::optional<std::string> nearest(std::string_view found, const std::vector<std::string>& known) {
  constexpr std::size_t kLongest = 64;  // nobody misspells a longer word of ours
  if (found.size() > kLongest) return std::nullopt;
  std::optional<std::string> best;
  const std::string wanted = small_letters(found);
  std::size_t fewest = 4;
  for (const std::string& word : known) {
    const std::size_t edits = edits_between(wanted, small_letters(word));
    const std::size_t bound = std::min<std::size_t>(3, word.size() / 3);
    if (edits <= bound && edits < fewest) {
      fewest = edits;
      best = word;
    }
  }
  return best;
}

std::string name_hint(std::string_view found, const std::vector<std::string>& known) {
  if (const auto word = nearest(found, known)) return "did you mean " + quoted(*word) + "?";
  std::vector<std::string> names;
  names.reserve(known.size());
  for (const std::string& word : known) names.push_back(quoted(word));
  return "allowed: " + listed(names, "or");
}

}  // namespace panewalk::base
