#include "cli/find_search.hpp"

#include <ostream>

#include "base/check.hpp"
#include "cli/load_site.hpp"
#include "io/clock.hpp"
#include "io/state_folder.hpp"
#include "site/told.hpp"

namespace panewalk::cli {
namespace {

base::Result<std::unique_ptr<logbook::Logbook>> open_logbook() {
  auto folder = io::state_folder(io::StatePlaces::from_environment());
  if (!folder) return std::move(folder).error();
  return logbook::Logbook::open(logbook::path_in(folder.value()));
}

void say_unrecorded(const base::Problems& problems, Console& console) {
  print(problems, console);
  console.err << "panewalk: this search is not kept in the logbook\n";
}

}  // namespace

FindSearch::FindSearch(const site::Site& site, std::size_t prop, const FindAsked& asked,
                       Console& console)
    : console_{console},
      of_{.site = site.plan->site,
          .subject = site::subject_of(*site.plan, prop),
          .bright = check::may_be_bright(site.plan, prop)} {
  auto book = open_logbook();
  if (book) {
    book_ = std::move(book).value();
    print(book_->notes(), console_);
  } else {
    say_unrecorded(book.error(), console_);
  }
  std::vector<check::Entry> known = entries();
  if (!asked.anew) {
    check::FindState state = check::find_state(of_, known);
    if (state.progress == check::Progress::kOpen) {
      if (state.stale) {
        why_anew_ = "The search that was open is of the site as it was before; a new one begins.";
      } else if (asked.place && *asked.place != state.place) {
        why_anew_ = std::string{"The search that was open is for the "} +
                    check::to_text(state.place) + "; a new one begins.";
      } else {
        find_ = *state.find;
        answered_before_ = static_cast<int>(state.answers.size());
        finder_ = std::move(state.finder);
        if (finder_->done()) conclude();
        return;
      }
    }
  }
  begin(std::move(known), asked);
}

std::vector<check::Entry> FindSearch::entries() {
  if (!book_) return {};
  auto entries = book_->entries(of_.site);
  if (entries) return std::move(entries).value();
  book_.reset();
  say_unrecorded(entries.error(), console_);
  return {};
}

void FindSearch::begin(std::vector<check::Entry> entries, const FindAsked& asked) {
  const auto begun =
      check::begin_find(of_.subject, asked.place.value_or(check::FindPlace::kBench), "");
  auto entry = record(begun);
  if (!entry) {
    const check::EntryNumber last = entries.empty() ? 0 : entries.back().number;
    entry = check::Entry{.number = last + 1, .at = io::utc_now(), .site = of_.site, .event = begun};
  }
  find_ = entry->number;
  entries.push_back(std::move(*entry));
  finder_ = std::move(check::find_state(of_, entries).finder);
  PANEWALK_CHECK(finder_.has_value());
}

std::optional<check::Entry> FindSearch::record(check::Event event) {
  if (!book_) return std::nullopt;
  auto entry = book_->add(of_.site, std::move(event), io::utc_now());
  if (entry) return std::move(entry).value();
  book_.reset();
  say_unrecorded(entry.error(), console_);
  return std::nullopt;
}

void FindSearch::answer(const find::Sighting& seen) {
  const find::Question& question = finder_->question();
  record(check::FindAnswered{.find = find_,
                             .prop = of_.subject.prop_names[of_.subject.prop],
                             .question = finder_->number(),
                             .asked = check::asked_text(of_.subject, question),
                             .answer = check::as_json(find::said(of_.subject, question, seen))});
  finder_->answer(seen);
  if (finder_->done()) conclude();
}

void FindSearch::conclude() {
  record(check::conclude(find_, of_.subject.prop_names[of_.subject.prop], *finder_));
}

}  // namespace panewalk::cli
