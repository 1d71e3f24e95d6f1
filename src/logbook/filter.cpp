#include "logbook/filter.hpp"

#include <algorithm>
#include <array>

namespace panewalk::logbook {
namespace {

constexpr std::array kKinds{Kind::kBench, Kind::kWalk, Kind::kFind};

struct KindOf {
  Kind operator()(const check::BenchBegun&) const { return Kind::kBench; }
  Kind operator()(const check::BenchAnswered&) const { return Kind::kBench; }
  Kind operator()(const check::WalkBegun&) const { return Kind::kWalk; }
  Kind operator()(const check::WalkAnswered&) const { return Kind::kWalk; }
  Kind operator()(const check::FindBegun&) const { return Kind::kFind; }
  Kind operator()(const check::FindAnswered&) const { return Kind::kFind; }
  Kind operator()(const check::FindConcluded&) const { return Kind::kFind; }
  Kind operator()(const check::FindRepaired&) const { return Kind::kFind; }
};

struct Names {
  const std::string& prop;

  bool operator()(const check::BenchBegun& begun) const { return begun.prop == prop; }
  bool operator()(const check::BenchAnswered& answered) const { return answered.prop == prop; }
  bool operator()(const check::WalkBegun& begun) const {
    return std::find(begun.order.begin(), begun.order.end(), prop) != begun.order.end();
  }
  bool operator()(const check::WalkAnswered& answered) const {
    return answered.prop == prop || answered.other == prop;
  }
  bool operator()(const check::FindBegun& begun) const { return begun.prop == prop; }
  bool operator()(const check::FindAnswered& answered) const {
    // No name of a prop has anything that JSON escapes.
    return answered.prop == prop ||
           (answered.asked.rfind("other:", 0) == 0 && answered.answer == '"' + prop + '"');
  }
  bool operator()(const check::FindConcluded& finding) const {
    return finding.prop == prop || exchanged(finding.fault) || exchanged(finding.second);
  }
  bool operator()(const check::FindRepaired& repaired) const {
    return repaired.prop == prop || exchanged(repaired.fault);
  }

 private:
  [[nodiscard]] bool exchanged(const std::string& fault) const {
    return fault == "leads-exchanged=" + prop;
  }
};

bool passes(const check::Entry& entry, const Filter& filter) {
  if (filter.prop && !names_prop(entry, *filter.prop)) return false;
  if (filter.since && entry.at < *filter.since) return false;
  const auto& kinds = filter.kinds;
  return kinds.empty() ||
         std::find(kinds.begin(), kinds.end(), kind_of(entry.event)) != kinds.end();
}

}  // namespace

const char* to_text(Kind kind) {
  switch (kind) {
    case Kind::kBench: return "bench";
    case Kind::kWalk: return "walk";
    case Kind::kFind: return "find";
  }
  return "";
}

std::optional<Kind> kind_from(std::string_view text) {
  for (const Kind kind : kKinds) {
    if (text == to_text(kind)) return kind;
  }
  return std::nullopt;
}

Kind kind_of(const check::Event& event) { return std::visit(KindOf{}, event); }

bool names_prop(const check::Entry& entry, const std::string& prop) {
  return std::visit(Names{prop}, entry.event);
}

std::vector<check::Entry> filtered(std::vector<check::Entry> entries, const Filter& filter) {
  const auto fails = [&filter](const check::Entry& entry) { return !passes(entry, filter); };
  entries.erase(std::remove_if(entries.begin(), entries.end(), fails), entries.end());
  return entries;
}

}  // namespace panewalk::logbook
