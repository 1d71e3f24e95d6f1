#include "logbook/export.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "base/utc.hpp"

namespace panewalk::logbook {
namespace {

// Keeps the order in which fields are given.
using Json = nlohmann::ordered_json;

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
    Json other = nullptr;  // where it could not be told
    if (!answered.other.empty()) other = answered.other;
    return {{"kind", "walk answer"},     {"walk", answered.walk},
            {"prop", answered.prop},     {"seen", check::to_text(answered.seen)},
            {"other", std::move(other)}, {"note", answered.note}};
  }
};

/// RFC 4180 section 2, rules 5 to 7.
std::string csv_field(const std::string& text) {
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

struct Cells {
  std::string kind, prop, check, walk, step, answer, seen, other, by, order, note;
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
};

/// A note may hold what would move a terminal's cursor. U+0080 to U+009F do it too; in UTF-8 they
/// are 0xC2 and the number itself.
std::string for_terminal(const std::string& text) {
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

std::string entries_as_json(std::span<const check::Entry> entries) {
  Json list = Json::array();
  for (const check::Entry& entry : entries) {
    Json fields = {{"entry", entry.number}, {"at", base::utc_text(entry.at)}};
    fields.update(std::visit(ToJson{}, entry.event));
    list.push_back(std::move(fields));
  }
  return Json{{"entries", std::move(list)}}.dump(2, ' ', false, Json::error_handler_t::replace) +
         '\n';
}

std::string entries_as_csv(std::span<const check::Entry> entries) {
  std::string text = "entry,at,kind,prop,check,walk,step,answer,seen,other,by,order,note\r\n";
  for (const check::Entry& entry : entries) {
    const Cells cells = std::visit(ToCells{}, entry.event);
    text += std::to_string(entry.number) + ',' + base::utc_text(entry.at);
    for (const std::string* cell :
         {&cells.kind, &cells.prop, &cells.check, &cells.walk, &cells.step, &cells.answer,
          &cells.seen, &cells.other, &cells.by, &cells.order, &cells.note}) {
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

bool names_prop(const check::Entry& entry, const std::string& prop) {
  if (const auto* begun = std::get_if<check::WalkBegun>(&entry.event)) {
    return std::find(begun->order.begin(), begun->order.end(), prop) != begun->order.end();
  }
  if (const auto* begun = std::get_if<check::BenchBegun>(&entry.event)) return begun->prop == prop;
  if (const auto* answered = std::get_if<check::BenchAnswered>(&entry.event)) {
    return answered->prop == prop;
  }
  const auto& walked = std::get<check::WalkAnswered>(entry.event);
  return walked.prop == prop || walked.other == prop;
}

}  // namespace panewalk::logbook
