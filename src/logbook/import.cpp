#include "logbook/import.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/utc.hpp"
#include "check/find.hpp"
#include "check/progress.hpp"
#include "config/reader.hpp"
#include "logbook/choices.hpp"
#include "logbook/reference.hpp"

namespace panewalk::logbook {
namespace {

using config::Node;
using config::Object;
using config::Value;
using config::Words;

// An entry has at most 13 values, apart from lists of props and of stations.
constexpr config::Limits kExport{.bytes = kLongestExport,
                                 .depth = 4,
                                 .values = 14 * kMostEntriesTaken,
                                 .string_bytes = 2 * check::kLongestFindText};
constexpr std::size_t kLongestTitle = 200;
constexpr std::size_t kLongestStep = 40;
constexpr std::size_t kMostInAList = 10'000;
constexpr int kLargest = std::numeric_limits<int>::max();

/// In the order of kReaders.
std::vector<std::string> kinds() {
  return {"bench begun", "bench answer", "walk begun", "walk answer",
          "find begun",  "find answer",  "finding",    "repair"};
}

/// "2026-11-25T17:08:21Z"; nothing for what is no second from 1970 on.
std::optional<std::int64_t> second_from(const std::string& text) {
  constexpr std::size_t kLength = 20;
  if (text.size() != kLength) return std::nullopt;
  const auto day = base::read_utc_day(std::string_view{text}.substr(0, 10));
  if (!day || *day < 0) return std::nullopt;
  const auto two = [&text](std::size_t at) {
    return std::int64_t{10} * (text[at] - '0') + text[at + 1] - '0';
  };
  const std::int64_t second = *day + 3600 * two(11) + 60 * two(14) + two(17);
  // What is no time of a day reads differently then.
  if (base::utc_text(second) != text) return std::nullopt;
  return second;
}

int number_of(Object& object, const char* member, const std::string& needed, int least,
              int most = kLargest) {
  const auto value = object.must(member, needed);
  return value ? config::whole(*value, least, most) : least;
}

std::string text_of(Object& object, const char* member, const std::string& needed,
                    std::size_t least, std::size_t most, Words words = Words::kLine) {
  const auto value = object.must(member, needed);
  return value ? config::text(*value, least, most, words) : std::string{};
}

/// "" for null and where it is missing.
std::string text_or_null(Object& object, const char* member) {
  const auto value = object.may(member);
  if (!value || value->node->kind == Node::Kind::kNull) return {};
  return config::text(*value, 1, check::kLongestFindText, Words::kLine);
}

std::string prop_of(Object& object) {
  const auto value = object.must("prop", "the name of the prop");
  return value ? config::name(*value) : std::string{};
}

/// In octets, as where it is written.
std::string note_of(Object& object) {
  const auto value = object.must("note", "the note, which may be empty");
  if (!value) return {};
  std::string note = config::text(*value, 0, check::kLongestNote, Words::kLines);
  if (note.size() > check::kLongestNote) {
    value->refuse("a note of " + std::to_string(note.size()) + " bytes",
                  "at most " + std::to_string(check::kLongestNote));
  }
  return note;
}

template <class T, std::size_t kCount>
T one_of(Object& object, const char* member, const std::array<T, kCount>& known) {
  std::vector<std::string> words;
  words.reserve(kCount);
  for (const T value : known) words.emplace_back(check::to_text(value));
  const auto value = object.must(member, base::listed(words, "or"));
  const auto which = value ? config::choice(*value, words) : std::nullopt;
  return known[which.value_or(0)];
}

check::EntryNumber begun_by(Object& object, const char* member) {
  return number_of(object, member, "the number of the entry that began it", 1);
}

check::Event bench_begun(Object& object) { return check::BenchBegun{.prop = prop_of(object)}; }

check::Event bench_answer(Object& object) {
  return check::BenchAnswered{
      .check = begun_by(object, "check"),
      .prop = prop_of(object),
      .step = text_of(object, "step", "the step that was asked", 1, kLongestStep),
      .answer = one_of(object, "answer", kAnswers),
      .note = note_of(object)};
}

check::Event walk_begun(Object& object) {
  check::WalkBegun begun{.by = one_of(object, "by", kWaysToWalk), .order = {}};
  if (const auto order = object.must("order", "a list of props' names")) {
    for (const Value& each : config::list(*order, "a list of props' names", 0, kMostInAList)) {
      begun.order.push_back(config::name(each));
    }
  }
  return begun;
}

check::Event walk_answer(Object& object) {
  check::WalkAnswered answered{.walk = begun_by(object, "walk"),
                               .prop = prop_of(object),
                               .seen = one_of(object, "seen", kSeen),
                               .other = {},
                               .note = note_of(object)};
  const auto other = object.may("other");
  if (other && other->node->kind != Node::Kind::kNull) answered.other = config::name(*other);
  return answered;
}

check::Event find_begun(Object& object) {
  return check::FindBegun{.prop = prop_of(object),
                          .place = one_of(object, "place", kPlaces),
                          .from = text_or_null(object, "from"),
                          .described = text_or_null(object, "described")};
}

/// A text or a list of texts, as JSON.
std::string answer_of(Object& object) {
  const std::string needed = "a text or a list of texts";
  const auto value = object.must("answer", needed);
  if (!value) return {};
  const std::size_t most = check::kLongestFindText;
  find::Said said;
  if (value->node->kind == Node::Kind::kString) {
    said.words.push_back(config::text(*value, 0, most, Words::kLine));
  } else {
    said.is_list = true;
    for (const Value& each : config::list(*value, needed, 0, kMostInAList)) {
      said.words.push_back(config::text(each, 0, most, Words::kLine));
    }
  }
  return check::as_json(said);
}

check::Event find_answer(Object& object) {
  return check::FindAnswered{
      .find = begun_by(object, "find"),
      .prop = prop_of(object),
      .question = number_of(object, "question", "the number of the question", 1),
      .asked = text_of(object, "asked", "what was asked", 1, check::kLongestFindText),
      .answer = answer_of(object)};
}

/// In thousandths.
int certainty_of(Object& object) {
  const std::string needed = "a number from 0 to 1, in thousandths";
  const auto value = object.must("certainty", needed);
  if (!value) return 0;
  if (value->node->kind != Node::Kind::kNumber) {
    value->wrong_type(needed);
    return 0;
  }
  const double share = value->node->number;
  if (share >= 0 && share <= 1) {
    const double thousandths = std::round(share * 1000);
    // Written as the quotient of two whole numbers, it reads as that again.
    if (thousandths / 1000 == share) return static_cast<int>(thousandths);
  }
  value->wrong_type(needed);
  return 0;
}

check::Event finding(Object& object) {
  check::FindConcluded finding{
      .find = begun_by(object, "find"),
      .prop = prop_of(object),
      .fault = text_of(object, "fault", "the fault that was found", 1, check::kLongestFindText),
      .second = text_or_null(object, "and"),
      .station = text_or_null(object, "station"),
      .certainty = certainty_of(object),
      .also_possible = text_or_null(object, "also_possible"),
      .questions = number_of(object, "questions", "how many were asked", 0)};
  const auto index = object.may("index");
  if (index && index->node->kind != Node::Kind::kNull) {
    finding.index = config::whole(*index, 1, kLargest);
  }
  return finding;
}

check::Event repair(Object& object) {
  return check::FindRepaired{.find = begun_by(object, "find"),
                             .prop = prop_of(object),
                             .repair = one_of(object, "repair", kRepairs),
                             .fault = text_or_null(object, "fault"),
                             .note = note_of(object)};
}

constexpr std::array kReaders{bench_begun, bench_answer, walk_begun, walk_answer,
                              find_begun,  find_answer,  finding,    repair};

void read_event(Object& object, check::Entry& entry) {
  const auto kind = object.must("kind", base::listed(kinds(), "or"));
  const auto which = kind ? config::choice(*kind, kinds()) : std::nullopt;
  if (!which) return;  // what else belongs there is not known then
  entry.event = kReaders.at(*which)(object);
  object.finish();
}

/// An entry, and where it stands.
struct Placed {
  check::Entry entry;
  Value value;
};

Placed read_entry(const Value& value, const std::string& site) {
  Placed placed{.entry = {.site = site, .event = check::BenchBegun{}}, .value = value};
  Object object{value, "an entry, as an object,"};
  placed.entry.number = number_of(object, "entry", "the number of the entry", 1);
  if (const auto at = object.must("at", "a time such as 2026-11-25T17:08:21Z")) {
    const std::string written = config::text(*at, 0, kLongestTitle, Words::kLine);
    const auto second = second_from(written);
    if (second) {
      placed.entry.at = *second;
    } else if (at->node->kind == Node::Kind::kString) {
      at->refuse(base::quoted(written) + " is no time",
                 "UTC from 1970 on, written as 2026-11-25T17:08:21Z");
    }
  }
  read_event(object, placed.entry);
  return placed;
}

void read_site(Object& object, const std::string& site) {
  const auto value = object.may("site");
  if (!value) return;
  const std::string named = config::text(*value, 1, kLongestTitle, Words::kLine);
  if (value->node->kind == Node::Kind::kString && named != site) {
    value->refuse("these are entries of " + base::quoted(named),
                  "the site here is " + base::quoted(site));
  }
}

/// Precondition: each of them was read without a problem. Sorts them.
void check_together(std::vector<Placed>& all) {
  std::stable_sort(all.begin(), all.end(), [](const Placed& a, const Placed& b) {
    return a.entry.number < b.entry.number;
  });
  const auto with_number = [&all](check::EntryNumber number) {
    const auto found = std::lower_bound(
        all.begin(), all.end(), number,
        [](const Placed& each, check::EntryNumber wanted) { return each.entry.number < wanted; });
    return found != all.end() && found->entry.number == number ? &*found : nullptr;
  };
  for (Placed& each : all) {
    const std::string number = std::to_string(each.entry.number);
    if (with_number(each.entry.number) != &each) {
      each.value.refuse("a second entry " + number, "each number once");
    }
    if (!check::is_within_bounds(each.entry.event)) {
      each.value.refuse("entry " + number + " is none that the fault finder writes",
                        "texts of " + std::to_string(check::kLongestFindText) +
                            " bytes at most; the fault of a repair only where it was another");
    }
    const check::EntryNumber begun = begun_of(each.entry.event);
    const Placed* const first = begun < each.entry.number ? with_number(begun) : &each;
    if (begun == 0 || first == nullptr) continue;
    if (first == &each || !can_begin(first->entry.event, each.entry.event)) {
      each.value.refuse(
          "entry " + number + " says that entry " + std::to_string(begun) + " began it",
          "what began it comes before it and is of the same kind and prop");
    }
  }
}

}  // namespace

base::Result<std::vector<check::Entry>> read_export(std::string_view text,
                                                    const std::string& site) {
  // What is no JSON object at all was made in another way.
  const auto first = text.find_first_not_of(" \t\r\n");
  if (text.size() <= kLongestExport && (first == std::string_view::npos || text[first] != '{')) {
    return base::Problems{{.what = "this is no export of a logbook",
                           .remedy = "make one with `panewalk logbook SITE --as json`"}};
  }
  const auto tree = config::read_text(text, kExport);
  if (!tree) return tree.error();
  config::Report report;
  Object object{{&tree.value().root, "", &report}, "an export of a logbook, which is an object,"};
  read_site(object, site);
  std::vector<Placed> all;
  if (const auto entries = object.must("entries", "a list of entries")) {
    for (const Value& each : config::list(*entries, "a list of entries", 0, kMostEntriesTaken)) {
      all.push_back(read_entry(each, site));
    }
  }
  object.finish();
  if (report.clean()) check_together(all);
  if (!report.clean()) return report.take(tree.value());
  std::vector<check::Entry> entries;
  entries.reserve(all.size());
  for (Placed& each : all) entries.push_back(std::move(each.entry));
  return entries;
}

}  // namespace panewalk::logbook
