#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "bench/stream_measure.hpp"

/// What was measured, as a table of 80 columns and as JSON.
namespace panewalk::bench {

struct Target {
  bool at_most = true;  ///< else at least
  double bound = 0;
};

struct Row {
  std::string name;
  Spread value;
  std::string unit;  ///< "" is a ratio
  std::optional<Target> target = std::nullopt;
  nlohmann::ordered_json more = nlohmann::ordered_json::object();  ///< for the JSON alone

  [[nodiscard]] bool reached() const;
};

struct Part {
  std::string title;
  std::vector<Row> rows;
};

/// A value that has no spread.
Spread exactly(double value);

/// Name, median with quartiles, target and whether it was reached.
std::string table_of(const Part& part);
nlohmann::ordered_json json_of(const Part& part);

/// Cores, kernel, memory.
nlohmann::ordered_json this_machine();
std::string this_machine_in_words();

}  // namespace panewalk::bench
