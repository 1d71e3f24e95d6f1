#pragma once

#include <array>
#include <optional>
#include <string>

#include "check/entry.hpp"

namespace panewalk::logbook {

/// The columns of `entry` that depend on the kind; nothing is NULL. The order of a walk lies in
/// rows of its own.
struct Row {
  using Number = std::optional<std::int64_t>;
  using Text = std::optional<std::string>;

  std::string kind;
  Number begun;
  Text prop, step, answer, other, walked_by, note;
  Text place, came_from, described;     // find begun
  Number question;                      // find answer
  Text asked;                           // find answer
  Text fault;                           // finding, repair
  Text second, station, also_possible;  // finding
  Number pixel, certainty, questions;   // finding
  Text repair;                          // repair
};

/// A column and where a Row has it.
template <class T>
struct Column {
  const char* name;
  T Row::*value;
};

inline constexpr std::array<Column<Row::Number>, 5> kNumbers{{{"begun", &Row::begun},
                                                              {"question", &Row::question},
                                                              {"pixel", &Row::pixel},
                                                              {"certainty", &Row::certainty},
                                                              {"questions", &Row::questions}}};
inline constexpr std::array<Column<Row::Text>, 15> kTexts{{{"prop", &Row::prop},
                                                           {"step", &Row::step},
                                                           {"answer", &Row::answer},
                                                           {"other", &Row::other},
                                                           {"walked_by", &Row::walked_by},
                                                           {"note", &Row::note},
                                                           {"place", &Row::place},
                                                           {"came_from", &Row::came_from},
                                                           {"described", &Row::described},
                                                           {"asked", &Row::asked},
                                                           {"fault", &Row::fault},
                                                           {"second", &Row::second},
                                                           {"station", &Row::station},
                                                           {"also_possible", &Row::also_possible},
                                                           {"repair", &Row::repair}}};

Row to_row(const check::Event& event);

/// Nothing where it is none of ours. A walk gets its order from elsewhere.
std::optional<check::Event> to_event(const Row& row);

}  // namespace panewalk::logbook
