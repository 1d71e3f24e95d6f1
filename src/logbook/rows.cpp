#include "logbook/rows.hpp"

#include <array>
#include <limits>
#include <nlohmann/json.hpp>

#include "logbook/choices.hpp"

namespace panewalk::logbook {
namespace {

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
  Row operator()(const check::FindBegun& begun) const {
    return {.kind = "find begun",
            .prop = begun.prop,
            .place = check::to_text(begun.place),
            .came_from = begun.from,
            .described = begun.described.empty() ? Row::Text{} : begun.described};
  }
  Row operator()(const check::FindAnswered& answered) const {
    return {.kind = "find answer",
            .begun = answered.find,
            .prop = answered.prop,
            .answer = answered.answer,
            .question = answered.question,
            .asked = answered.asked};
  }
  Row operator()(const check::FindConcluded& finding) const {
    return {.kind = "finding",
            .begun = finding.find,
            .prop = finding.prop,
            .fault = finding.fault,
            .second = finding.second,
            .station = finding.station,
            .also_possible = finding.also_possible,
            .pixel = finding.index,
            .certainty = finding.certainty,
            .questions = finding.questions};
  }
  Row operator()(const check::FindRepaired& repaired) const {
    return {.kind = "repair",
            .begun = repaired.find,
            .prop = repaired.prop,
            .note = repaired.note,
            .fault = repaired.fault,
            .repair = check::to_text(repaired.repair)};
  }
};

bool fits_int(const Row::Number& number) {
  return number && *number >= std::numeric_limits<int>::min() &&
         *number <= std::numeric_limits<int>::max();
}

using MaybeEvent = std::optional<check::Event>;

MaybeEvent find_begun(const Row& row) {
  const auto place = read(kPlaces, row.place);
  if (!row.prop || !place || !row.came_from) return std::nullopt;
  return check::FindBegun{.prop = *row.prop,
                          .place = *place,
                          .from = *row.came_from,
                          .described = row.described.value_or("")};
}

MaybeEvent find_answer(const Row& row) {
  if (!row.begun || !row.prop || !fits_int(row.question) || !row.asked || !row.answer ||
      !nlohmann::json::accept(*row.answer)) {
    return std::nullopt;
  }
  return check::FindAnswered{.find = *row.begun,
                             .prop = *row.prop,
                             .question = static_cast<int>(*row.question),
                             .asked = *row.asked,
                             .answer = *row.answer};
}

MaybeEvent finding(const Row& row) {
  if (!row.begun || !row.prop || !row.fault || !row.second || !row.station ||
      !fits_int(row.pixel) || !fits_int(row.certainty) || !row.also_possible ||
      !fits_int(row.questions)) {
    return std::nullopt;
  }
  return check::FindConcluded{.find = *row.begun,
                              .prop = *row.prop,
                              .fault = *row.fault,
                              .second = *row.second,
                              .station = *row.station,
                              .index = static_cast<int>(*row.pixel),
                              .certainty = static_cast<int>(*row.certainty),
                              .also_possible = *row.also_possible,
                              .questions = static_cast<int>(*row.questions)};
}

MaybeEvent repair(const Row& row) {
  const auto what = read(kRepairs, row.repair);
  if (!row.begun || !row.prop || !what || !row.fault || !row.note) return std::nullopt;
  return check::FindRepaired{.find = *row.begun,
                             .prop = *row.prop,
                             .repair = *what,
                             .fault = *row.fault,
                             .note = *row.note};
}

MaybeEvent of_finder(const Row& row) {
  if (row.kind == "find begun") return find_begun(row);
  if (row.kind == "find answer") return find_answer(row);
  if (row.kind == "finding") return finding(row);
  if (row.kind == "repair") return repair(row);
  return std::nullopt;
}

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
  auto event = of_finder(row);
  if (event && !check::is_within_bounds(*event)) return std::nullopt;
  return event;
}

}  // namespace panewalk::logbook
