#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "check/find.hpp"
#include "cli/commands.hpp"
#include "find/finder.hpp"
#include "logbook/logbook.hpp"
#include "site/load.hpp"

namespace panewalk::cli {

/// One search of the fault finder and its entries in the logbook, which the page shares. A logbook
/// that can't be had or takes no more is said once, on standard error; the search goes on without.
class FindSearch {
 public:
  /// Goes on with the search that is open in the logbook, or begins one: where there is none, where
  /// `asked` wants it, where it is for another place, and where the site has changed since. What
  /// the site's plan has outlives it.
  FindSearch(const site::Site& site, std::size_t prop, const FindAsked& asked, Console& console);

  [[nodiscard]] const find::Finder& finder() const { return *finder_; }
  [[nodiscard]] const practice::Subject& subject() const { return of_.subject; }
  /// Questions that had an answer before this run; 0 in a search that is new.
  [[nodiscard]] int answered_before() const { return answered_before_; }
  /// Why a search that was open was not gone on with, or "".
  [[nodiscard]] const std::string& why_anew() const { return why_anew_; }
  [[nodiscard]] bool recorded() const { return book_ != nullptr; }

  /// In the logbook first. Precondition: the finder is not done.
  void answer(const find::Sighting& seen);

 private:
  [[nodiscard]] std::vector<check::Entry> entries();
  void begin(std::vector<check::Entry> entries, const FindAsked& asked);
  /// Nothing where there is no logbook (any more).
  std::optional<check::Entry> record(check::Event event);
  void conclude();

  Console& console_;
  check::FindSubject of_;
  std::unique_ptr<logbook::Logbook> book_;
  check::EntryNumber find_ = 0;
  std::optional<find::Finder> finder_;
  int answered_before_ = 0;
  std::string why_anew_;
};

}  // namespace panewalk::cli
