#pragma once

#include <list>
#include <memory>
#include <optional>
#include <span>

#include "check/find.hpp"
#include "site/correction.hpp"

namespace panewalk::web {

/// Where the fault finder stands with one prop.
struct Search {
  check::FindSubject subject;
  check::FindState state;
  /// What was found, while the site is as it was asked about.
  std::optional<find::Finding> finding = std::nullopt;
  /// Where the description is what has to change.
  std::optional<site::Correction> correction = std::nullopt;
  /// After an answer that is on its way into the logbook: saves working it out twice.
  std::optional<check::FindState> ahead = std::nullopt;
};

/// The searches that were asked for last, so that one call after the other costs no replay.
class Searches {
 public:
  /// Up to the logbook's entry `newest`. `site` is what the plan was made from; null: no
  /// correction is offered. Good until the next call.
  Search& of(const engine::Plan& plan, const site::Site* site, std::size_t prop,
             std::span<const check::Entry> entries, check::EntryNumber newest);
  /// Before the plan of the calls before goes.
  void forget() { kept_.clear(); }

 private:
  /// A finder keeps all that may be wrong, megabytes on a large prop.
  static constexpr std::size_t kMost = 3;
  struct Kept {
    std::size_t prop = 0;
    check::EntryNumber newest = 0;
    Search search;
  };
  std::list<Kept> kept_;  // used last first
};

}  // namespace panewalk::web
