#include "web/diary.hpp"

#include <iterator>

namespace panewalk::web {
namespace {

constexpr base::Duration kMinute = std::chrono::minutes{1};

/// The last line of a minute is kept for the count of what was left out.
constexpr std::size_t kForTroubles = Diary::kMostInMinute - 1;

}  // namespace

bool Diary::has_room(base::Instant now) {
  while (!said_.empty() && now - said_.front() >= kMinute) said_.pop_front();
  return said_.size() < kForTroubles;
}

void Diary::say(base::Instant now, DiaryLine line, std::vector<DiaryLine>& lines) {
  said_.push_back(now);
  lines.push_back(std::move(line));
}

void Diary::begin(base::Instant now, const Trouble& trouble, std::vector<DiaryLine>& lines) {
  Known& known = known_[trouble.key];
  known.now = true;
  if (known.told && trouble.tells) known.over = trouble.over;
  if (!trouble.tells || (known.told && known.cause == trouble.cause)) return;
  if ((known.ever && now - known.told_at < kSameAfter) || !has_room(now)) {
    known.waits = true;
    return;
  }
  say(now, {.text = trouble.begins}, lines);
  known.told = known.ever = true;
  known.waits = false;
  known.told_at = now;
  known.cause = trouble.cause;
  known.over = trouble.over;
}

std::vector<DiaryLine> Diary::look(base::Instant now, std::span<const Trouble> troubles) {
  std::vector<DiaryLine> lines;
  for (auto& [key, known] : known_) known.now = false;
  for (const Trouble& trouble : troubles) begin(now, trouble, lines);
  for (auto each = known_.begin(); each != known_.end();) {
    Known& known = each->second;
    if (!known.now) {
      if (known.waits) ++left_out_;
      known.waits = false;
      if (known.told && (known.over.empty() || has_room(now))) {
        if (!known.over.empty()) say(now, {.text = known.over, .over = true}, lines);
        known.told = false;
      }
    }
    const bool done =
        !known.now && !known.told && (!known.ever || now - known.told_at >= kSameAfter);
    each = done ? known_.erase(each) : std::next(each);
  }
  if (left_out_ > 0 && now >= count_from_) {
    say(now,
        {.text =
             std::to_string(left_out_) +
             (left_out_ == 1 ? " trouble that came and went quickly was left out of this log"
                             : " troubles that came and went quickly were left out of this log")},
        lines);
    left_out_ = 0;
    count_from_ = now + kMinute;
  }
  return lines;
}

void Diary::forget() { *this = {}; }

}  // namespace panewalk::web
