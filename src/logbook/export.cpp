#include "logbook/export.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "base/utc.hpp"
#include "base/utf8.hpp"

namespace panewalk::logbook {
namespace {

// Keeps the order in which fields are given.
using Json = nlohmann::ordered_json;

Json null_where_empty(const std::string& text) { return text.empty() ? Json{} : Json(text); }

/// An answer to the fault finder: a text, or a list of texts.
Json value_of(const std::string& answer) {
  Json value = Json::parse(answer, nullptr, false);
  return value.is_discarded() ? Json(answer) : value;
}

/// The fields that go by the kind.
struct ToJson {
  Json operator()(const check::BenchBegun& begun) const {
    return {{"kind", "bench begun"}, {"prop", begun.prop}};
  }
  Json operator()(const check::BenchAnswered& answered) const {
    return {{"kind", "bench answer"},
            {"check", answered.check},
            {"prop", answered.prop},
            {"step", answered.step},
            {"answer", check::to_text(answered.answer)},
            {"note", answered.note}};
  }
  Json operator()(const check::WalkBegun& begun) const {
    return {{"kind", "walk begun"}, {"by", check::to_text(begun.by)}, {"order", Json(begun.order)}};
  }
  Json operator()(const check::WalkAnswered& answered) const {
    return {{"kind", "walk answer"},
            {"walk", answered.walk},
            {"prop", answered.prop},
            {"seen", check::to_text(answered.seen)},
            {"other", null_where_empty(answered.other)},  // null where it could not be told
            {"note", answered.note}};
  }
  Json operator()(const check::FindBegun& begun) const {
    return {{"kind", "find begun"},
            {"prop", begun.prop},
            {"place", check::to_text(begun.place)},
            {"from", null_where_empty(begun.from)},
            {"described", null_where_empty(begun.described)}};
  }
  Json operator()(const check::FindAnswered& answered) const {
    return {{"kind", "find answer"},   {"find", answered.find},
            {"prop", answered.prop},   {"question", answered.question},
            {"asked", answered.asked}, {"answer", value_of(answered.answer)}};
  }
  Json operator()(const check::FindConcluded& finding) const {
    Json index;
    if (finding.index > 0) index = finding.index;
    return {{"kind", "finding"},
            {"find", finding.find},
            {"prop", finding.prop},
            {"fault", finding.fault},
            {"and", null_where_empty(finding.second)},
            {"index", std::move(index)},
            {"station", null_where_empty(finding.station)},
            {"certainty", finding.certainty / 1000.0},
            {"also_possible", null_where_empty(finding.also_possible)},
            {"questions", finding.questions}};
  }
  Json operator()(const check::FindRepaired& repaired) const {
    return {{"kind", "repair"},
            {"find", repaired.find},
            {"prop", repaired.prop},
            {"repair", check::to_text(repaired.repair)},
            {"fault", null_where_empty(repaired.fault)},
            {"note", repaired.note}};
  }
};

/// RFC 4180 section 2, rules 5 to 7.
std::string csv_field(const std::string& octets) {
  std::string text = base::in_utf8(octets);
  if (text.find_first_of("\",\r\n") == std::string::npos) return text;
  std::string quoted{'"'};
  for (const char letter : text) quoted += letter == '"' ? "\"\"" : std::string{letter};
  return quoted + '"';
}

std::string joined(const std::vector<std::string>& words, const char* between) {
  std::string text;
  for (const std::string& word : words) text += (text.empty() ? "" : between) + word;
  return text;
}

/// The words of an answer to the fault finder.
std::string words_of(const std::string& answer, const char* between) {
  const Json value = value_of(answer);
  if (value.is_string()) return value.get_ref<const std::string&>();
  const auto is_text = [](const Json& each) { return each.is_string(); };
  if (!value.is_array() || !std::all_of(value.begin(), value.end(), is_text)) return answer;
  if (value.empty()) return "none";
  std::vector<std::string> words;
  for (const Json& each : value) words.push_back(each.get_ref<const std::string&>());
  return joined(words, between);
}

/// "87.3 %", "87 %".
std::string percent(int per_mille) {
  const std::string tenths = per_mille % 10 == 0 ? "" : "." + std::to_string(per_mille % 10);
  return std::to_string(per_mille / 10) + tenths + " %";
}

/// "0.873".
std::string share(int per_mille) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%d.%03d", per_mille / 1000, per_mille % 1000);
  return text.data();
}

/// The columns of the CSV form; new ones come last, so that the others stay where they were.
struct Cells {
  std::string kind, prop, check, walk, step, answer, seen, other, by, order, note;
  std::string find, place, from, question, asked, fault, second, index, station, certainty;
  std::string also_possible, questions, repair;
};
struct ToCells {
  Cells operator()(const check::BenchBegun& begun) const {
    return {.kind = "bench begun", .prop = begun.prop};
  }
  Cells operator()(const check::BenchAnswered& answered) const {
    return {.kind = "bench answer",
            .prop = answered.prop,
            .check = std::to_string(answered.check),
            .step = answered.step,
            .answer = check::to_text(answered.answer),
            .note = answered.note};
  }
  Cells operator()(const check::WalkBegun& begun) const {
    return {.kind = "walk begun",
            .by = check::to_text(begun.by),
            .order = joined(begun.order, " ")};  // no name of a prop has a space
  }
  Cells operator()(const check::WalkAnswered& answered) const {
    return {.kind = "walk answer",
            .prop = answered.prop,
            .walk = std::to_string(answered.walk),
            .seen = check::to_text(answered.seen),
            .other = answered.other,
            .note = answered.note};
  }
  Cells operator()(const check::FindBegun& begun) const {
    return {.kind = "find begun",
            .prop = begun.prop,
            .place = check::to_text(begun.place),
            .from = begun.from};
  }
  Cells operator()(const check::FindAnswered& answered) const {
    return {.kind = "find answer",
            .prop = answered.prop,
            .answer = words_of(answered.answer, " "),
            .find = std::to_string(answered.find),
            .question = std::to_string(answered.question),
            .asked = answered.asked};
  }
  Cells operator()(const check::FindConcluded& finding) const {
    return {.kind = "finding",
            .prop = finding.prop,
            .find = std::to_string(finding.find),
            .fault = finding.fault,
            .second = finding.second,
            .index = finding.index > 0 ? std::to_string(finding.index) : "",
            .station = finding.station,
            .certainty = share(finding.certainty),
            .also_possible = finding.also_possible,
            .questions = std::to_string(finding.questions)};
  }
  Cells operator()(const check::FindRepaired& repaired) const {
    return {.kind = "repair",
            .prop = repaired.prop,
            .note = repaired.note,
            .find = std::to_string(repaired.find),
            .fault = repaired.fault,
            .repair = check::to_text(repaired.repair)};
  }
};

using Line = std::array<std::string, 5>;

struct ToLine {
  Line operator()(const check::BenchBegun& begun) const {
    return {"", "bench begun", begun.prop, "", ""};
  }
  Line operator()(const check::BenchAnswered& answered) const {
    return {"", "bench " + answered.step, answered.prop, check::to_text(answered.answer),
            answered.note};
  }
  Line operator()(const check::WalkBegun& begun) const {
    return {"", std::string{"walk begun by "} + check::to_text(begun.by), "", "",
            joined(begun.order, ", ")};
  }
  Line operator()(const check::WalkAnswered& answered) const {
    std::string seen = check::to_text(answered.seen);
    if (!answered.other.empty()) seen += ": " + answered.other;
    return {"", "walk", answered.prop, std::move(seen), answered.note};
  }
  Line operator()(const check::FindBegun& begun) const {
    const bool on_bench = begun.place == check::FindPlace::kBench;
    return {"", on_bench ? "find begun on the bench" : "find begun in the yard", begun.prop, "",
            begun.from.empty() ? "" : "from " + begun.from};
  }
  Line operator()(const check::FindAnswered& answered) const {
    return {"", "find question " + std::to_string(answered.question), answered.prop,
            words_of(answered.answer, ", "), answered.asked};
  }
  Line operator()(const check::FindConcluded& finding) const {
    std::string fault = finding.fault;
    if (!finding.second.empty()) fault += " and " + finding.second;
    std::vector<std::string> notes;
    if (finding.index > 0) notes.push_back("pixel " + std::to_string(finding.index));
    if (!finding.station.empty()) notes.push_back("station " + finding.station);
    notes.push_back(percent(finding.certainty) + " sure after " +
                    std::to_string(finding.questions) +
                    (finding.questions == 1 ? " question" : " questions"));
    if (!finding.also_possible.empty()) notes.push_back("also possible: " + finding.also_possible);
    return {"", "finding", finding.prop, std::move(fault), joined(notes, ", ")};
  }
  Line operator()(const check::FindRepaired& repaired) const {
    std::string repair = check::to_text(repaired.repair);
    if (!repaired.fault.empty()) repair += ": " + repaired.fault;
    return {"", "repair", repaired.prop, std::move(repair), repaired.note};
  }
};

/// A note may hold what would move a terminal's cursor. U+0080 to U+009F do it too; in UTF-8 they
/// are 0xC2 and the number itself.
std::string for_terminal(const std::string& octets) {
  const std::string text = base::in_utf8(octets);
  std::string safe;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto byte = static_cast<unsigned char>(text[i]);
    const unsigned next = i + 1 < text.size() ? static_cast<unsigned char>(text[i + 1]) : 0U;
    const bool is_c1 = byte == 0xc2 && next >= 0x80 && next < 0xa0;
    if (byte >= 0x20 && byte != 0x7f && !is_c1) {
      safe += text[i];
      continue;
    }
    std::array<char, 16> escape{};
    std::snprintf(escape.data(), escape.size(), "\\u%04x", is_c1 ? next : unsigned{byte});
    safe += escape.data();
    if (is_c1) ++i;
  }
  return safe;
}

std::size_t characters(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char letter) {
    return (static_cast<unsigned char>(letter) & 0xc0U) != 0x80U;
  }));
}

}  // namespace

std::string event_as_json(const check::Event& event) {
  return std::visit(ToJson{}, event).dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::string entries_as_json(const std::string& site, std::span<const check::Entry> entries) {
  Json list = Json::array();
  for (const check::Entry& entry : entries) {
    Json fields = {{"entry", entry.number}, {"at", base::utc_text(entry.at)}};
    fields.update(std::visit(ToJson{}, entry.event));
    list.push_back(std::move(fields));
  }
  const Json all{{"site", site}, {"entries", std::move(list)}};
  return all.dump(2, ' ', false, Json::error_handler_t::replace) + '\n';
}

std::string entries_as_csv(std::span<const check::Entry> entries) {
  std::string text =
      "entry,at,kind,prop,check,walk,step,answer,seen,other,by,order,note,find,place,from,question,"
      "asked,fault,and,index,station,certainty,also_possible,questions,repair\r\n";
  for (const check::Entry& entry : entries) {
    const Cells cells = std::visit(ToCells{}, entry.event);
    text += std::to_string(entry.number) + ',' + base::utc_text(entry.at);
    for (const std::string* cell :
         {&cells.kind,      &cells.prop,          &cells.check,     &cells.walk,  &cells.step,
          &cells.answer,    &cells.seen,          &cells.other,     &cells.by,    &cells.order,
          &cells.note,      &cells.find,          &cells.place,     &cells.from,  &cells.question,
          &cells.asked,     &cells.fault,         &cells.second,    &cells.index, &cells.station,
          &cells.certainty, &cells.also_possible, &cells.questions, &cells.repair}) {
      text += ',' + csv_field(*cell);
    }
    text += "\r\n";
  }
  return text;
}

std::string entries_as_table(std::span<const check::Entry> entries) {
  std::vector<Line> lines{{"when", "what", "prop", "answer", "note"}};
  for (const check::Entry& entry : entries) {
    Line line = std::visit(ToLine{}, entry.event);
    line[0] = base::utc_text(entry.at);
    for (std::string& cell : line) cell = for_terminal(cell);
    lines.push_back(std::move(line));
  }
  std::array<std::size_t, std::tuple_size_v<Line>> width{};
  for (const Line& line : lines) {
    for (std::size_t c = 0; c < line.size(); ++c)
      width[c] = std::max(width[c], characters(line[c]));
  }
  std::string text;
  for (const Line& line : lines) {
    std::string row;
    for (std::size_t c = 0; c < line.size(); ++c) {
      row += (c > 0 ? "  " : "") + line[c] + std::string(width[c] - characters(line[c]), ' ');
    }
    text += row.substr(0, row.find_last_not_of(' ') + 1) + '\n';
  }
  return text;
}

}  // namespace panewalk::logbook
