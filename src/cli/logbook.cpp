#include <algorithm>
#include <ostream>

#include "base/utc.hpp"
#include "cli/commands.hpp"
#include "cli/load_site.hpp"
#include "io/state_folder.hpp"
#include "logbook/export.hpp"
#include "logbook/logbook.hpp"

namespace panewalk::cli {
namespace {

/// What to say where no entry passes the filter.
std::string nothing_in(const logbook::Filter& filter, const std::string& site) {
  const std::string of = " of " + filter.prop.value_or("the site " + site) + ".\n";
  if (filter.kinds.empty() && !filter.since) return "Nothing is in the logbook yet" + of;
  std::string text = "Nothing";
  if (!filter.kinds.empty()) {
    std::vector<std::string> words;
    for (const auto kind : filter.kinds) words.emplace_back(logbook::to_text(kind));
    text += " of kind " + base::listed(words, "or");
  }
  if (filter.since) text += " since " + base::utc_text(*filter.since).substr(0, 10);
  return text + " is in the logbook" + of;
}

}  // namespace

Exit logbook(const LogbookAsked& asked, Console& console) {
  const auto site = load_site(asked.site, console);
  if (!site) return kFaultyInput;
  const engine::Plan& plan = *site->plan;
  const auto folder = io::state_folder(io::StatePlaces::from_environment());
  if (!folder) {
    print(folder.error(), console);
    return kFailed;
  }
  const std::string path = logbook::path_in(folder.value());
  const auto book = logbook::Logbook::open(path, logbook::Access::kRead);
  auto found = book ? book.value()->entries(plan.site) : book.error();
  if (!found) {
    print(found.error(), console);
    return kFailed;
  }
  std::vector<check::Entry> entries = std::move(found).value();
  if (const auto& prop = asked.filter.prop) {
    const auto names_it = [&prop](const check::Entry& entry) {
      return logbook::names_prop(entry, *prop);
    };
    // A prop that is gone from the site is in the logbook all the same.
    const bool is_known = std::any_of(entries.begin(), entries.end(), names_it);
    if (!is_known && !find_prop(plan, *prop, console)) return kUsage;
  }
  entries = logbook::filtered(std::move(entries), asked.filter);
  switch (asked.form) {
    case Form::kTable:
      console.out << (entries.empty() ? nothing_in(asked.filter, plan.site)
                                      : logbook::entries_as_table(entries));
      break;
    case Form::kCsv: console.out << logbook::entries_as_csv(entries); break;
    case Form::kJson: console.out << logbook::entries_as_json(entries); break;
  }
  console.out.flush();
  return console.out ? kDone : kFailed;
}

}  // namespace panewalk::cli
