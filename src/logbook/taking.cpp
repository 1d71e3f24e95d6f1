#include "logbook/taking.hpp"

#include <deque>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <unordered_map>

#include "logbook/export.hpp"
#include "logbook/reference.hpp"

namespace panewalk::logbook {
namespace {

using check::Entry;
using check::EntryNumber;

/// What an entry says and when, as an export has it: text that is no UTF-8 has been replaced there.
std::string said_by(const Entry& entry, EntryNumber begun) {
  check::Event event = entry.event;
  if (EntryNumber* const number = begun_in(event)) *number = begun;
  return std::to_string(entry.at) + ' ' + event_as_json(event);
}

class Planner {
 public:
  Planner(std::span<const Entry> here, EntryNumber next) : next_{next} {
    for (const Entry& entry : here) {
      const EntryNumber begun = begun_of(entry.event);
      here_[said_by(entry, begun)].push_back(entry.number);
      begun_of_[said_by(entry, 0)] = begun;
      numbers_here_.insert(entry.number);
    }
  }

  Taking plan(std::span<const Entry> from) && {
    for (const Entry& entry : from) numbers_[entry.number] = std::nullopt;
    for (const Entry& entry : from) recognise_beginning(entry);
    for (const Entry& entry : from) take(entry);
    return std::move(taking_);
  }

 private:
  /// What some of a check's answers that are here belong to, the others belong to as well. Where
  /// they belong to nobody's number, since they came without their beginning, it is kept for that.
  void recognise_beginning(const Entry& entry) {
    const EntryNumber begun = begun_of(entry.event);
    if (begun == 0 || recognised_.contains(begun)) return;
    const auto same = begun_of_.find(said_by(entry, 0));
    if (same == begun_of_.end()) return;
    if (!numbers_.contains(begun)) {
      recognised_[begun] = same->second;
    } else if (!numbers_here_.contains(same->second)) {
      kept_for_.try_emplace(begun, same->second);
    }
  }

  EntryNumber new_number(const Entry& entry) {
    const auto kept = kept_for_.find(entry.number);
    if (kept == kept_for_.end() || !numbers_here_.insert(kept->second).second) return next_++;
    return kept->second;
  }

  void take(const Entry& entry) {
    Entry taken = entry;
    bool is_lost = false;
    if (EntryNumber* const begun = begun_in(taken.event)) *begun = number_here(*begun, is_lost);
    auto& same = here_[said_by(taken, begun_of(taken.event))];
    if (same.empty()) {
      taken.number = new_number(entry);
      if (is_lost) ++taking_.without_beginning;
      taking_.entries.push_back(taken);
    } else {
      taken.number = same.front();
      same.pop_front();
      ++taking_.already;
    }
    numbers_[entry.number] = taken.number;
  }

  EntryNumber number_here(EntryNumber begun, bool& is_lost) {
    const auto among = numbers_.find(begun);
    if (among != numbers_.end() && among->second) return *among->second;
    const auto [lost, is_new] = recognised_.try_emplace(begun, next_);
    if (is_new) ++next_;
    is_lost = true;
    return lost->second;
  }

  EntryNumber next_;
  std::unordered_map<std::string, std::deque<EntryNumber>> here_;
  std::unordered_map<std::string, EntryNumber> begun_of_;
  std::map<EntryNumber, std::optional<EntryNumber>> numbers_;  // of the others, here
  std::map<EntryNumber, EntryNumber> recognised_;              // not among the others
  std::map<EntryNumber, EntryNumber> kept_for_;                // beginnings among the others
  std::set<EntryNumber> numbers_here_;
  Taking taking_;
};

}  // namespace

Taking plan_taking(std::span<const Entry> here, std::span<const Entry> from, EntryNumber next) {
  return Planner{here, next}.plan(from);
}

}  // namespace panewalk::logbook
