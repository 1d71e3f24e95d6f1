#include "site/route_text.hpp"

#include "wiring/route_reader.hpp"

namespace panewalk::site {
namespace {

/// A stop as written, with its parentheses.
struct Stop {
  std::string word;
  int at = 0;  ///< characters into the run

  [[nodiscard]] bool passed_by() const { return word.front() == '('; }
  [[nodiscard]] std::string name() const {
    return passed_by() ? word.substr(1, word.size() - 2) : word;
  }
};

std::vector<Stop> stops_of(const std::string& run) {
  std::vector<Stop> stops;
  for (std::size_t i = run.find_first_not_of(' '); i < run.size();
       i = run.find_first_not_of(' ', i)) {
    const std::size_t end = std::min(run.find(' ', i), run.size());
    stops.push_back({.word = run.substr(i, end - i), .at = static_cast<int>(i)});
    i = end;
  }
  return stops;
}

void put_word(std::string& run, const std::string& word) { run += (run.empty() ? "" : " ") + word; }

/// Spells run after run, and keeps what is taken.
class Speller {
 public:
  explicit Speller(const prop::Frame& frame) : frame_{frame}, taken_(frame.stations().size()) {}

  std::optional<std::string> spell(const WantedRun& run) {
    std::string text = run.text;
    if (!reads_as(text, run.takes)) {
      auto other = with_parentheses(run);
      if (!other || !reads_as(*other, run.takes)) return std::nullopt;
      text = std::move(*other);
    }
    for (const StationIndex station : run.takes) taken_[station.value()] = true;
    return text;
  }

 private:
  [[nodiscard]] bool carries(StationIndex station) const { return frame_[station].carries_pixel; }

  [[nodiscard]] bool reads_as(const std::string& text,
                              const std::vector<StationIndex>& takes) const {
    base::Problems problems;
    const auto visits = wiring::walk_run(frame_, text, "", taken_, problems);
    if (!problems.empty()) return false;
    std::vector<bool> seen(taken_.size());
    std::size_t next = 0;
    for (const wiring::Visit& visit : visits) {
      if (!carries(visit.station) || !visit.take) continue;
      const bool again = taken_[visit.station.value()] || seen[visit.station.value()];
      if (again && frame_[visit.station].joint) continue;
      if (again || next == takes.size() || takes[next] != visit.station) return false;
      seen[visit.station.value()] = true;
      ++next;
    }
    return next == takes.size();
  }

  [[nodiscard]] std::optional<std::string> with_parentheses(const WantedRun& run) const {
    base::Problems problems;
    const auto visits = wiring::walk_run(frame_, run.text, "", taken_, problems);
    if (!problems.empty()) return std::nullopt;
    const std::vector<Stop> stops = stops_of(run.text);
    std::vector<bool> seen(taken_.size());
    std::size_t next = 0;
    auto stop = stops.begin();
    std::string text;
    for (std::size_t i = 0; i < visits.size(); ++i) {
      const StationIndex station = visits[i].station;
      const bool joint = frame_[station].joint.has_value();
      const bool takes = next < run.takes.size() && run.takes[next] == station;
      if (takes) {
        ++next;
      } else if (carries(station) && !joint) {
        return std::nullopt;
      }
      const bool passes = carries(station) && !takes;
      const bool named = i + 1 == visits.size() || visits[i + 1].at != visits[i].at;
      if (named) {
        if (stop == stops.end() || stop->at != visits[i].at) return std::nullopt;
        if (joint && carries(station)) {
          put_word(text, passes ? '(' + stop->name() + ')' : stop->name());
        } else {
          put_word(text, stop->word);
        }
        ++stop;
      } else if (passes && !taken_[station.value()] && !seen[station.value()]) {
        // In line between two stops, where it would be taken.
        put_word(text, '(' + frame_[station].name + ')');
      }
      seen[station.value()] = seen[station.value()] || takes;
    }
    return text;
  }

  const prop::Frame& frame_;
  std::vector<bool> taken_;
};

}  // namespace

std::optional<std::vector<std::string>> spelt(const prop::Frame& frame,
                                              const std::vector<WantedRun>& runs) {
  Speller speller{frame};
  std::vector<std::string> texts;
  for (const WantedRun& run : runs) {
    if (run.takes.empty()) continue;
    auto text = speller.spell(run);
    if (!text) return std::nullopt;
    texts.push_back(std::move(*text));
  }
  return texts;
}

std::string turned_round(const std::string& run) {
  const std::vector<Stop> stops = stops_of(run);
  std::string text;
  for (auto stop = stops.rbegin(); stop != stops.rend(); ++stop) put_word(text, stop->word);
  return text;
}

std::optional<std::string> moved(
    const prop::Frame& frame, const std::string& run,
    const std::function<std::optional<StationIndex>(StationIndex)>& to) {
  std::string text;
  for (const Stop& stop : stops_of(run)) {
    const auto from = frame.find_station(stop.name());
    const auto station = from ? to(*from) : std::nullopt;
    if (!station) return std::nullopt;
    const std::string& name = frame[*station].name;
    put_word(text, stop.passed_by() ? '(' + name + ')' : name);
  }
  return text;
}

}  // namespace panewalk::site
