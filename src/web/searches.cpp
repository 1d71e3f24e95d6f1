#include "web/searches.hpp"

#include <algorithm>
#include <utility>

#include "site/told.hpp"

namespace panewalk::web {
namespace {

Search begin(const engine::Plan& plan, std::size_t prop) {
  // Only looked at while this runs: the plan is the caller's.
  const std::shared_ptr<const engine::Plan> lent{std::shared_ptr<const engine::Plan>{}, &plan};
  return {.subject = {.site = plan.site,
                      .subject = site::subject_of(plan, prop),
                      .bright = check::may_be_bright(lent, prop)},
          .state = {}};
}

void conclude(Search& search, const site::Site* site) {
  search.finding.reset();
  search.correction.reset();
  const check::FindState& state = search.state;
  if (state.progress != check::Progress::kDone || !state.finder) return;
  search.finding = state.finder->finding();
  if (site == nullptr) return;
  const find::Possible& found = search.finding->likeliest;
  // Of two the colours first: they leave every index as it is. Then it is searched again.
  const bool has_second = found.second.kind != practice::FaultKind::kNone;
  auto offered =
      site::corrected(*site, search.subject.subject.prop, has_second ? found.second : found.fault);
  if (offered) search.correction = std::move(offered).value();
}

}  // namespace

Search& Searches::of(const engine::Plan& plan, const site::Site* site, std::size_t prop,
                     std::span<const check::Entry> entries, check::EntryNumber newest) {
  const auto found = std::find_if(kept_.begin(), kept_.end(),
                                  [prop](const Kept& kept) { return kept.prop == prop; });
  if (found == kept_.end()) {
    kept_.push_front({.prop = prop, .newest = -1, .search = begin(plan, prop)});
    if (kept_.size() > kMost) kept_.pop_back();
  } else {
    kept_.splice(kept_.begin(), kept_, found);
  }
  Kept& kept = kept_.front();
  if (kept.newest != newest) {
    kept.newest = newest;
    Search& search = kept.search;
    search.state = check::find_state(search.subject, entries,
                                     std::move(search.ahead ? *search.ahead : search.state));
    search.ahead.reset();
    conclude(search, site);
  }
  return kept.search;
}

}  // namespace panewalk::web
