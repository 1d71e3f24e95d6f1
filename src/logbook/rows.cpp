#include "logbook/rows.hpp"

#include <array>

namespace panewalk::logbook {
namespace {

using check::Answer;
using check::Seen;
using check::WalkBy;

constexpr std::array kAnswers{Answer::kYes, Answer::kNo, Answer::kUnsure, Answer::kSkipped};
constexpr std::array kSeen{Seen::kAsDrawn, Seen::kAnother, Seen::kNothing, Seen::kWrong};
constexpr std::array kWaysToWalk{WalkBy::kOrder, WalkBy::kNearest};

template <class T, std::size_t kCount>
std::optional<T> read(const std::array<T, kCount>& known, const std::optional<std::string>& text) {
  for (const T value : known) {
    if (text == check::to_text(value)) return value;
  }
  return std::nullopt;
}

struct ToRow {
  Row operator()(const check::BenchBegun& begun) const {
    return {.kind = "bench begun", .prop = begun.prop};
  }
  Row operator()(const check::BenchAnswered& answered) const {
    return {.kind = "bench answer",
            .begun = answered.check,
            .prop = answered.prop,
            .step = answered.step,
            .answer = check::to_text(answered.answer),
            .note = answered.note};
  }
  Row operator()(const check::WalkBegun& begun) const {
    return {.kind = "walk begun", .walked_by = check::to_text(begun.by)};
  }
  Row operator()(const check::WalkAnswered& answered) const {
    return {.kind = "walk answer",
            .begun = answered.walk,
            .prop = answered.prop,
            .answer = check::to_text(answered.seen),
            .other = answered.other,
            .note = answered.note};
  }
};

}  // namespace

Row to_row(const check::Event& event) { return std::visit(ToRow{}, event); }

std::optional<check::Event> to_event(const Row& row) {
  if (row.kind == "bench begun" && row.prop) return check::BenchBegun{.prop = *row.prop};
  if (row.kind == "bench answer") {
    const auto answer = read(kAnswers, row.answer);
    if (!row.begun || !row.prop || !row.step || !answer || !row.note) return std::nullopt;
    return check::BenchAnswered{.check = *row.begun,
                                .prop = *row.prop,
                                .step = *row.step,
                                .answer = *answer,
                                .note = *row.note};
  }
  if (row.kind == "walk begun") {
    const auto by = read(kWaysToWalk, row.walked_by);
    if (!by) return std::nullopt;
    return check::WalkBegun{.by = *by};
  }
  if (row.kind == "walk answer") {
    const auto seen = read(kSeen, row.answer);
    if (!row.begun || !row.prop || !seen || !row.other || !row.note) return std::nullopt;
    return check::WalkAnswered{.walk = *row.begun,
                               .prop = *row.prop,
                               .seen = *seen,
                               .other = *row.other,
                               .note = *row.note};
  }
  return std::nullopt;
}

}  // namespace panewalk::logbook
