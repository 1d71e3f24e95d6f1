#include <algorithm>
#include <ostream>

#include "base/utc.hpp"
#include "cli/commands.hpp"
#include "cli/load_site.hpp"
#include "io/files.hpp"
#include "io/state_folder.hpp"
#include "logbook/export.hpp"
#include "logbook/import.hpp"
#include "logbook/logbook.hpp"

namespace panewalk::cli {
namespace {

/// What to say where no entry passes the filter.
std::string nothing_in(const logbook::Filter& filter, const std::string& site,
                       const std::string& path) {
  const std::string of = " of " + filter.prop.value_or("the site " + site) + " (" + path + ").\n";
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

/// "took 12 entries, 3 were there already".
std::string took(const logbook::Taken& taken) {
  return "took " + std::to_string(taken.taken) + (taken.taken == 1 ? " entry, " : " entries, ") +
         std::to_string(taken.already) + (taken.already == 1 ? " was" : " were") + " there already";
}

std::string without_beginning(std::size_t count) {
  return count == 1
             ? "1 of them belongs to a check, a walk or a search that the file does not have"
             : std::to_string(count) +
                   " of them belong to checks, walks or searches that the file does not have";
}

Exit take(const std::string& file, const std::string& path, const std::string& site,
          Console& console) {
  const auto text = io::read_file(file, logbook::kLongestExport);
  auto entries = text ? logbook::read_export(text.value(), site) : text.error();
  if (!entries) {
    base::Problems problems = std::move(entries).error();
    for (base::Problem& problem : problems) problem.file = file;
    print(problems, console);
    return kFaultyInput;
  }
  const auto book = logbook::Logbook::open(path);
  if (book) print(book.value()->notes(), console);
  const auto taken = book ? book.value()->take(site, entries.value()) : book.error();
  if (!taken) {
    print(taken.error(), console);
    return kFailed;
  }
  console.out << file << ": " << took(taken.value()) << "; they are in " << path << '\n'
              << std::flush;
  if (taken.value().without_beginning > 0) {
    print({{.file = file,
            .what = without_beginning(taken.value().without_beginning),
            .remedy = "export without --prop, --kind and --since to have these too"}},
          console);
  }
  return console.out ? kDone : kFailed;
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
  if (asked.take) return take(*asked.take, path, plan.site, console);
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
      console.out << (entries.empty() ? nothing_in(asked.filter, plan.site, path)
                                      : logbook::entries_as_table(entries));
      break;
    case Form::kCsv: console.out << logbook::entries_as_csv(entries); break;
    case Form::kJson: console.out << logbook::entries_as_json(plan.site, entries); break;
  }
  console.out.flush();
  return console.out ? kDone : kFailed;
}

}  // namespace panewalk::cli
