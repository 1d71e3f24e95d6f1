#include "bench/stream_report.hpp"

#include <sys/utsname.h>
#include <unistd.h>

#include <array>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <sstream>

namespace panewalk::bench {
namespace {

/// Two or three figures.
std::string figure(double value) {
  std::array<char, 32> text{};
  const double size_of_it = std::abs(value);
  int decimals = 0;
  if (size_of_it != 0 && size_of_it < 100) {
    decimals = size_of_it >= 10 ? 1 : size_of_it >= 0.1 ? 2 : 4;
  }
  const int size = std::snprintf(text.data(), text.size(), "%.*f", decimals, value);
  return {text.data(), static_cast<std::size_t>(size)};
}

std::string padded(std::string text, std::size_t width) {
  if (text.size() < width) text.append(width - text.size(), ' ');
  return text;
}

std::string in_words(const Spread& value, const std::string& unit) {
  std::string text = figure(value.median);
  if (value.low != value.high) text += " (" + figure(value.low) + "-" + figure(value.high) + ")";
  return unit.empty() ? text : text + " " + unit;
}

std::string model_of_processor() {
  std::ifstream file{"/proc/cpuinfo"};
  for (std::string line; std::getline(file, line);) {
    if (line.rfind("model name", 0) == 0) return line.substr(line.find(':') + 2);
  }
  return "a processor that does not say its name";
}

}  // namespace

bool Row::reached() const {
  if (!target) return true;
  return target->at_most ? value.median <= target->bound : value.median >= target->bound;
}

Spread exactly(double value) { return {value, value, value}; }

std::string table_of(const Part& part) {
  std::string text = part.title + "\n";
  for (const Row& row : part.rows) {
    std::string line =
        "  " + padded(row.name, 38) + " " + padded(in_words(row.value, row.unit), 22);
    if (row.target) {
      line += padded((row.target->at_most ? " <= " : " >= ") + figure(row.target->bound), 9) +
              (row.reached() ? " reached" : " MISSED");
    }
    line.erase(line.find_last_not_of(' ') + 1);
    text += line + "\n";
  }
  return text;
}

nlohmann::ordered_json json_of(const Part& part) {
  nlohmann::ordered_json rows = nlohmann::ordered_json::array();
  for (const Row& row : part.rows) {
    nlohmann::ordered_json one{{"name", row.name},
                               {"median", row.value.median},
                               {"quartiles", {row.value.low, row.value.high}},
                               {"unit", row.unit.empty() ? "ratio" : row.unit}};
    if (row.target) {
      one[row.target->at_most ? "at_most" : "at_least"] = row.target->bound;
      one["reached"] = row.reached();
    }
    one.update(row.more);
    rows.push_back(std::move(one));
  }
  return {{"part", part.title}, {"rows", std::move(rows)}};
}

nlohmann::ordered_json this_machine() {
  utsname system{};
  ::uname(&system);
  const long pages = ::sysconf(_SC_PHYS_PAGES);
  return {{"processor", model_of_processor()},
          {"cores", ::sysconf(_SC_NPROCESSORS_ONLN)},
          {"memory_mib", pages / 256 * (::sysconf(_SC_PAGESIZE) / 4096)},
          {"kernel", system.release},
          {"compiler", __VERSION__}};
}

std::string this_machine_in_words() {
  const auto machine = this_machine();
  std::ostringstream text;
  text << machine["cores"].get<long>() << " cores, " << machine["processor"].get<std::string>()
       << "\nkernel " << machine["kernel"].get<std::string>() << ", "
       << machine["memory_mib"].get<long>() << " MiB, compiler "
       << machine["compiler"].get<std::string>() << "\n";
  return text.str();
}

}  // namespace panewalk::bench
