#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "base/problem.hpp"
#include "check/entry.hpp"
#include "logbook/logbook.hpp"

namespace panewalk::web {

/// What the logbook holds of the site that is served, at hand. Other programs may write to it too.
class Records {
 public:
  /// Null where there is no logbook; `why_none` says why, and nothing is recorded then.
  Records(logbook::Logbook* book, base::Problems why_none)
      : book_{book}, trouble_{std::move(why_none)} {}

  /// Reads what is new. A logbook that can't be read is a trouble until it can be again.
  void refresh(const std::string& site);
  /// Lasting once it returns without a problem.
  base::Problems add(const std::string& site, check::Event event, std::int64_t at);

  [[nodiscard]] std::span<const check::Entry> entries() const { return entries_; }
  [[nodiscard]] check::EntryNumber newest() const { return newest_; }
  [[nodiscard]] const base::Problems& trouble() const { return trouble_; }

 private:
  logbook::Logbook* book_;
  base::Problems trouble_;
  std::string site_;
  std::vector<check::Entry> entries_;
  check::EntryNumber newest_ = 0;
};

}  // namespace panewalk::web
