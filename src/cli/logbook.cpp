#include <algorithm>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/load_site.hpp"
#include "io/state_folder.hpp"
#include "logbook/export.hpp"
#include "logbook/logbook.hpp"

namespace panewalk::cli {

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
  if (asked.prop) {
    const auto names_another = [&asked](const check::Entry& entry) {
      return !logbook::names_prop(entry, *asked.prop);
    };
    entries.erase(std::remove_if(entries.begin(), entries.end(), names_another), entries.end());
    // A prop that is gone from the site is in the logbook all the same.
    if (entries.empty() && !find_prop(plan, *asked.prop, console)) return kUsage;
  }
  switch (asked.form) {
    case Form::kTable:
      console.out << (entries.empty() ? "Nothing is in the logbook yet of " +
                                            asked.prop.value_or("the site " + plan.site) + ".\n"
                                      : logbook::entries_as_table(entries));
      break;
    case Form::kCsv: console.out << logbook::entries_as_csv(entries); break;
    case Form::kJson: console.out << logbook::entries_as_json(entries); break;
  }
  console.out.flush();
  return console.out ? kDone : kFailed;
}

}  // namespace panewalk::cli
