#include "check/find.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <utility>

#include "find/words.hpp"

namespace panewalk::check {
namespace {

/// More of what is also possible nobody reads in a logbook.
constexpr std::size_t kMostAlso = 20;

/// What the entries say, before anything is asked again.
struct Kept {
  FindState state;
  std::vector<practice::FaultKind> mended;  // before the search began
  std::string described;
};

/// The fault of a record by its kind alone: values that the site no longer has still count.
std::optional<practice::FaultKind> kind_of(const std::string& fault) {
  return practice::fault_kind_from(std::string_view{fault}.substr(0, fault.find('=')));
}

/// Folds the entries of one site.
class Fold {
 public:
  explicit Fold(const std::string& prop) { kept_.state.prop = prop; }

  void take(const Entry& entry) {
    if (const auto* begun = std::get_if<FindBegun>(&entry.event)) {
      if (begun->prop == kept_.state.prop) begin(entry, *begun);
    } else if (const auto* answered = std::get_if<FindAnswered>(&entry.event)) {
      if (of_this_search(answered->find)) answer(entry, *answered);
    } else if (const auto* concluded = std::get_if<FindConcluded>(&entry.event)) {
      found_.push_back(*concluded);
      if (of_this_search(concluded->find)) kept_.state.concluded = *concluded;
    } else if (const auto* repaired = std::get_if<FindRepaired>(&entry.event)) {
      note_mended(*repaired);
      if (!of_this_search(repaired->find)) return;
      kept_.state.repaired = *repaired;
      kept_.state.repaired_at = entry.at;
    }
  }
  Kept kept() && { return std::move(kept_); }

 private:
  [[nodiscard]] bool of_this_search(EntryNumber find) const { return kept_.state.find == find; }

  void begin(const Entry& entry, const FindBegun& begun) {
    kept_.state = FindState{.prop = begun.prop,
                            .find = entry.number,
                            .place = begun.place,
                            .from = begun.from,
                            .begun_at = entry.at};
    kept_.mended = mended_;
    kept_.described = begun.described;
  }

  void answer(const Entry& entry, const FindAnswered& answered) {
    auto& answers = kept_.state.answers;
    const auto place = static_cast<std::size_t>(answered.question) - 1;
    if (place > answers.size()) return;
    answers.resize(place);
    answers.push_back({.recorded = answered,
                       .at = entry.at,
                       .answer = said_from_json(answered.answer).value_or(find::Said{})});
    kept_.state.concluded.reset();
    kept_.state.repaired.reset();
    kept_.state.repaired_at.reset();
  }

  void note_mended(const FindRepaired& repaired) {
    if (repaired.repair != Repair::kMended) return;
    const auto found =
        std::find_if(found_.rbegin(), found_.rend(),
                     [&repaired](const FindConcluded& each) { return each.find == repaired.find; });
    if (found == found_.rend()) return;
    for (const std::string& fault : {found->fault, found->second}) {
      const auto kind = kind_of(fault);
      if (kind && *kind != practice::FaultKind::kNone) mended_.push_back(*kind);
    }
  }

  Kept kept_;
  std::vector<FindConcluded> found_;         // of any prop
  std::vector<practice::FaultKind> mended_;  // so far
};

bool is_beginning(const std::vector<FindReply>& before, const std::vector<FindReply>& all) {
  return before.size() <= all.size() && std::equal(before.begin(), before.end(), all.begin(),
                                                   [](const FindReply& a, const FindReply& b) {
                                                     return a.recorded == b.recorded;
                                                   });
}

/// Answers the question that the finder asks as it was answered then; false where it was another.
bool ask_again(const practice::Subject& subject, find::Finder& finder, FindReply& reply) {
  if (finder.done() || asked_text(subject, finder.question()) != reply.recorded.asked) return false;
  auto sighting = find::read_answer(subject, finder.question(), reply.answer);
  if (!sighting) return false;
  reply.question = finder.question();
  reply.sighting = sighting.value();
  finder.answer(sighting.value());
  return true;
}

find::Finder first_question(const FindSubject& of, const Kept& kept) {
  const auto place =
      kept.state.place == FindPlace::kBench ? find::Place::kBench : find::Place::kYard;
  return {of.subject, {.experience = {.place = place, .mended = kept.mended}, .bright = of.bright}};
}

/// Answers that fit the questions as they are now lead to what they led to then.
bool leads_there(const FindConcluded& concluded, const find::Finder& finder) {
  const find::Possible found = finder.finding().likeliest;
  const bool has_second = found.second.kind != practice::FaultKind::kNone;
  return practice::to_text(finder.subject(), found.fault) == concluded.fault &&
         (has_second ? practice::to_text(finder.subject(), found.second) : "") == concluded.second;
}

/// False where other questions would have been asked, or would lead elsewhere.
bool replay(const FindSubject& of, Kept& kept, FindState before) {
  FindState& state = kept.state;
  if (!kept.described.empty() && kept.described != mark_of_description(of.subject)) return false;
  const bool goes_on =
      before.finder && before.find == state.find && is_beginning(before.answers, state.answers);
  std::size_t done = 0;
  if (goes_on) {
    done = before.answers.size();
    for (std::size_t i = 0; i < done; ++i) {
      state.answers[i].question = std::move(before.answers[i].question);
      state.answers[i].sighting = before.answers[i].sighting;
    }
    state.finder = std::move(before.finder);
  } else {
    state.finder = first_question(of, kept);
  }
  for (; done < state.answers.size(); ++done) {
    if (!ask_again(of.subject, *state.finder, state.answers[done])) return false;
  }
  return !state.concluded || leads_there(*state.concluded, *state.finder);
}

void give_up(FindState& state) {
  state.stale = true;
  state.finder.reset();
  for (FindReply& reply : state.answers) {
    reply.question.reset();
    reply.sighting.reset();
  }
}

std::string numbered(std::optional<EntryNumber> find) { return std::to_string(find.value_or(0)); }

Refusal another_question(const FindState& state, int question, Turn turn) {
  const auto last = static_cast<int>(state.answers.size());
  std::string remedy = "read the search anew";
  if (turn == Turn::kAgain) {
    remedy = last == 0 ? "none has been answered" : "1 to " + std::to_string(last);
  }
  const bool is_done = state.progress == Progress::kDone;
  std::string what = "question " + std::to_string(question);
  if (turn == Turn::kAgain) {
    what += " has no answer whose place another could take";
  } else {
    what += is_done ? " is not open: the search is done"
                    : " is not open; question " + std::to_string(last + 1) + " is";
  }
  return {.stale = true, .problems = {{.where = "/question", .what = what, .remedy = remedy}}};
}

Refusal site_changed(const FindState& state) {
  return {.stale = true,
          .problems = {{.where = "/find",
                        .what = "the site has changed since search " + numbered(state.find) +
                                " of " + state.prop + " began",
                        .remedy = "begin again"}}};
}

/// As it was when this question was open.
FindState back_to(const FindState& state, int question) {
  FindState then = state;
  const auto before = static_cast<std::size_t>(question) - 1;
  if (before == state.answers.size()) return then;
  then.answers.resize(before);
  then.finder.emplace(state.finder->subject(), state.finder->conditions());
  for (const FindReply& reply : then.answers) then.finder->answer(*reply.sighting);
  return then;
}

std::string fault_text(const practice::Subject& subject, const find::Possible& possible) {
  std::string text = practice::to_text(subject, possible.fault);
  if (possible.second.kind != practice::FaultKind::kNone) {
    text += " and " + practice::to_text(subject, possible.second);
  }
  return text;
}

}  // namespace

const find::Question* FindState::question(int number) const {
  if (number < 1) return nullptr;
  const auto at = static_cast<std::size_t>(number) - 1;
  if (at < answers.size()) return answers[at].question ? &*answers[at].question : nullptr;
  if (!finder || finder->done() || concluded || at != answers.size()) return nullptr;
  return &finder->question();
}

FindState find_state(const FindSubject& of, std::span<const Entry> entries, FindState before) {
  Fold fold{of.subject.prop_names[of.subject.prop]};
  for (const Entry& entry : entries) {
    if (entry.site == of.site) fold.take(entry);
  }
  Kept kept = std::move(fold).kept();
  FindState& state = kept.state;
  if (!state.find) return std::move(state);
  if (!replay(of, kept, std::move(before))) give_up(state);
  const bool done = state.concluded || (state.finder && state.finder->done());
  state.progress = done ? Progress::kDone : Progress::kOpen;
  return std::move(state);
}

std::optional<Refusal> another_search(const FindState& state, EntryNumber find) {
  if (find == state.find) return std::nullopt;
  if (!state.find) {
    return Refusal{.stale = true,
                   .problems = {{.where = "/find",
                                 .what = "no search of " + state.prop + " was begun",
                                 .remedy = "begin one"}}};
  }
  return Refusal{
      .stale = true,
      .problems = {{.where = "/find",
                    .what = "search " + std::to_string(find) + " of " + state.prop +
                            " is not the newest one; the newest is " + numbered(state.find),
                    .remedy = "somebody began again; read the search anew"}}};
}

Event begin_find(const practice::Subject& subject, FindPlace place, const std::string& from) {
  return FindBegun{.prop = subject.prop_names[subject.prop],
                   .place = place,
                   .from = from,
                   .described = mark_of_description(subject)};
}

base::Result<FindAnswer, Refusal> answer_find(const FindState& state, EntryNumber find,
                                              int question, const find::Said& said, Turn turn) {
  if (auto another = another_search(state, find)) return *std::move(another);
  if (state.stale || !state.finder) return site_changed(state);
  const auto answered = static_cast<int>(state.answers.size());
  const find::Question* const asked = state.question(question);
  const bool in_turn = turn == Turn::kOpen ? question == answered + 1 : question <= answered;
  if (asked == nullptr || !in_turn) return another_question(state, question, turn);
  const practice::Subject& subject = state.finder->subject();
  const auto sighting = find::read_answer(subject, *asked, said);
  if (!sighting) {
    Refusal refusal{.problems = {sighting.error()}};
    refusal.problems.front().where = "/answer";
    return refusal;
  }
  FindAnswer answer{.events = {}, .after = back_to(state, question)};
  const FindAnswered recorded{.find = find,
                              .prop = state.prop,
                              .question = question,
                              .asked = asked_text(subject, *asked),
                              .answer = as_json(find::said(subject, *asked, sighting.value()))};
  answer.events.emplace_back(recorded);
  answer.after.answers.push_back(
      {.recorded = recorded, .question = *asked, .sighting = sighting.value()});
  find::Finder& finder = *answer.after.finder;
  finder.answer(sighting.value());
  if (finder.done()) answer.events.emplace_back(conclude(find, state.prop, finder));
  return answer;
}

base::Result<std::vector<Event>, Refusal> repair_find(const FindState& state,
                                                      const practice::Subject& subject,
                                                      EntryNumber find, Repair repair,
                                                      const std::string& fault,
                                                      const std::string& note) {
  if (auto another = another_search(state, find)) return *std::move(another);
  Refusal refusal;
  if (state.progress != Progress::kDone) {
    return Refusal{.stale = true,
                   .problems = {{.where = "/find",
                                 .what = "search " + numbered(state.find) + " of " + state.prop +
                                         " has found nothing yet",
                                 .remedy = "answer its questions first"}}};
  }
  std::string was;
  if (repair != Repair::kWasAnother && !fault.empty()) {
    refusal.problems.push_back(
        {.where = "/fault",
         .what =
             "a fault is named, but what became of the finding is " + base::quoted(to_text(repair)),
         .remedy = "name one only with " + base::quoted(to_text(Repair::kWasAnother))});
  } else if (!fault.empty()) {
    auto read = practice::read_fault(subject, fault);
    if (read) {
      was = practice::to_text(subject, read.value());
    } else {
      refusal.problems.push_back(std::move(read).error());
      refusal.problems.back().where = "/fault";
    }
  }
  check_note(note, refusal.problems);
  if (!refusal.problems.empty()) return refusal;
  std::vector<Event> events;
  // The answer that ended it was kept, and then the machine stopped.
  if (!state.concluded) events.emplace_back(conclude(find, state.prop, *state.finder));
  events.emplace_back(
      FindRepaired{.find = find, .prop = state.prop, .repair = repair, .fault = was, .note = note});
  return events;
}

FindConcluded conclude(EntryNumber find, const std::string& prop, const find::Finder& finder) {
  const practice::Subject& subject = finder.subject();
  const find::Finding finding = finder.finding();
  const find::FindingWords words = find::words_for(subject, finding, finder.conditions().bright);
  FindConcluded concluded{.find = find,
                          .prop = prop,
                          .fault = practice::to_text(subject, finding.likeliest.fault),
                          .station = words.station,
                          .index = words.index,
                          .questions = finding.questions};
  if (finding.likeliest.second.kind != practice::FaultKind::kNone) {
    concluded.second = practice::to_text(subject, finding.likeliest.second);
  }
  concluded.certainty = static_cast<int>(std::lround(finding.likeliest.certainty * 1000));
  for (std::size_t i = 0; i < std::min(finding.also_possible.size(), kMostAlso); ++i) {
    const find::Possible& also = finding.also_possible[i];
    char share[16];
    std::snprintf(share, sizeof share, " %.2f", also.certainty);
    if (i > 0) concluded.also_possible += ", ";
    concluded.also_possible += fault_text(subject, also) + share;
  }
  return concluded;
}

}  // namespace panewalk::check
