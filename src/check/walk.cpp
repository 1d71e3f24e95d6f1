#include "check/walk.hpp"

#include <algorithm>

#include "base/nearest.hpp"

namespace panewalk::check {
namespace {

WalkStop stop_at(const engine::Plan& plan, std::size_t index) {
  const engine::PlannedProp& prop = *plan.props[index];
  return {.prop = prop.name,
          .about = prop.about,
          .controller = prop.placement.controller,
          .universe = prop.placement.universe,
          .seen = {},
          .other = {},
          .note = {},
          .at = {}};
}

std::vector<WalkStop>::iterator find(std::vector<WalkStop>& stops, const std::string& prop) {
  return std::find_if(stops.begin(), stops.end(),
                      [&prop](const WalkStop& stop) { return stop.prop == prop; });
}

void begin_again(WalkState& state, const engine::Plan& plan, const Entry& entry,
                 const WalkBegun& begun) {
  state.walk = entry.number;
  state.by = begun.by;
  state.begun_at = entry.at;
  state.stops.clear();
  state.notes.clear();
  for (const std::string& name : begun.order) {
    if (const auto index = plan.find_prop(name)) {
      state.stops.push_back(stop_at(plan, *index));
    } else {
      state.notes.push_back(name + " has left the site since the walk began.");
    }
  }
  for (const std::size_t index : plan.walk) {
    const std::string& name = plan.props[index]->name;
    if (find(state.stops, name) != state.stops.end()) continue;
    state.stops.push_back(stop_at(plan, index));
    state.notes.push_back(name + " has joined the walk since it began, and comes last.");
  }
}

void take(WalkState& state, const Entry& entry, const WalkAnswered& answered) {
  if (answered.walk != state.walk) return;
  const auto stop = find(state.stops, answered.prop);
  if (stop == state.stops.end()) return;
  stop->seen = answered.seen;
  stop->other = answered.other;
  stop->note = answered.note;
  stop->at = entry.at;
}

void check_other(const WalkState& state, const std::string& prop, Seen seen,
                 const std::string& other, base::Problems& problems) {
  if (other.empty()) return;
  std::vector<std::string> others;
  for (const WalkStop& stop : state.stops) {
    if (stop.prop != prop) others.push_back(stop.prop);
  }
  if (seen != Seen::kAnother) {
    problems.push_back(
        {.where = "/other",
         .what = "another prop is named, but what was seen is " + base::quoted(to_text(seen)),
         .remedy = "name one only with " + base::quoted(to_text(Seen::kAnother))});
  } else if (other == prop) {
    problems.push_back({.where = "/other",
                        .what = prop + " is the prop that was asked for",
                        .remedy = "name the one that lit instead, or none"});
  } else if (std::find(others.begin(), others.end(), other) == others.end()) {
    problems.push_back({.where = "/other",
                        .what = "no prop of the walk is named " + base::quoted(other),
                        .remedy = base::name_hint(other, others)});
  }
}

}  // namespace

std::vector<std::string> walk_order(const engine::Plan& plan, WalkBy by) {
  std::vector<std::string> order;
  std::vector<std::size_t> left = plan.walk;
  const auto visit = [&](std::vector<std::size_t>::iterator next) {
    order.push_back(plan.props[*next]->name);
    left.erase(next);
  };
  const auto has_place = [&plan](std::size_t prop) { return plan.props[prop]->place.has_value(); };
  auto next = std::find_if(left.begin(), left.end(), has_place);
  while (by == WalkBy::kNearest && next != left.end()) {
    const base::Point here = *plan.props[*next]->place;
    visit(next);
    const auto way = [&](std::size_t prop) {
      return base::distance(here, *plan.props[prop]->place);
    };
    next = left.end();
    for (auto each = left.begin(); each != left.end(); ++each) {
      if (has_place(*each) && (next == left.end() || way(*each) < way(*next))) next = each;
    }
  }
  while (!left.empty()) visit(left.begin());
  return order;
}

WalkState walk_state(const engine::Plan& plan, const std::vector<Entry>& entries) {
  WalkState state;
  for (const std::size_t index : plan.walk) state.stops.push_back(stop_at(plan, index));
  for (const Entry& entry : entries) {
    if (entry.site != plan.site) continue;
    if (const auto* begun = std::get_if<WalkBegun>(&entry.event)) {
      begin_again(state, plan, entry, *begun);
    } else if (const auto* answered = std::get_if<WalkAnswered>(&entry.event)) {
      take(state, entry, *answered);
    }
  }
  if (!state.walk) return state;
  const auto next = std::find_if(state.stops.begin(), state.stops.end(),
                                 [](const WalkStop& stop) { return !stop.seen; });
  if (next != state.stops.end()) state.next = next->prop;
  state.progress = state.next ? Progress::kOpen : Progress::kDone;
  state.punch_list = punch_list(plan, state.stops);
  return state;
}

Event begin_walk(const engine::Plan& plan, WalkBy by) {
  return WalkBegun{.by = by, .order = walk_order(plan, by)};
}

base::Result<Event, Refusal> answer_walk(const WalkState& state, EntryNumber walk,
                                         const std::string& prop, Seen seen,
                                         const std::string& other, const std::string& note) {
  Refusal refusal;
  if (walk != state.walk) {
    refusal.stale = true;
    refusal.problems.push_back(
        {.where = "/walk",
         .what = state.walk
                     ? "walk " + std::to_string(walk) + " is not the newest one; the newest is " +
                           std::to_string(*state.walk)
                     : "no walk was begun",
         .remedy = state.walk ? "somebody began again; read the walk anew" : "begin one"});
    return refusal;
  }
  std::vector<std::string> names;
  for (const WalkStop& stop : state.stops) names.push_back(stop.prop);
  if (std::find(names.begin(), names.end(), prop) == names.end()) {
    refusal.problems.push_back({.where = "/prop",
                                .what = "no prop of the walk is named " + base::quoted(prop),
                                .remedy = base::name_hint(prop, names)});
  } else {
    check_other(state, prop, seen, other, refusal.problems);
  }
  check_note(note, refusal.problems);
  if (!refusal.problems.empty()) return refusal;
  return Event{
      WalkAnswered{.walk = walk, .prop = prop, .seen = seen, .other = other, .note = note}};
}

}  // namespace panewalk::check
