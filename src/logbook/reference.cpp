#include "logbook/reference.hpp"

namespace panewalk::logbook {
namespace {

struct BegunIn {
  template <class Begun>
  check::EntryNumber* operator()(Begun&) const {
    return nullptr;
  }
  check::EntryNumber* operator()(check::BenchAnswered& answered) const { return &answered.check; }
  check::EntryNumber* operator()(check::WalkAnswered& answered) const { return &answered.walk; }
  check::EntryNumber* operator()(check::FindAnswered& answered) const { return &answered.find; }
  check::EntryNumber* operator()(check::FindConcluded& finding) const { return &finding.find; }
  check::EntryNumber* operator()(check::FindRepaired& repaired) const { return &repaired.find; }
};

struct CanBegin {
  const check::Event& begun;

  template <class Begun>
  bool operator()(const Begun&) const {
    return false;
  }
  bool operator()(const check::BenchAnswered& answered) const {
    const auto* check = std::get_if<check::BenchBegun>(&begun);
    return check != nullptr && check->prop == answered.prop;
  }
  bool operator()(const check::WalkAnswered&) const {
    return std::holds_alternative<check::WalkBegun>(begun);
  }
  bool operator()(const check::FindAnswered& answered) const { return find_of(answered.prop); }
  bool operator()(const check::FindConcluded& finding) const { return find_of(finding.prop); }
  bool operator()(const check::FindRepaired& repaired) const { return find_of(repaired.prop); }

 private:
  [[nodiscard]] bool find_of(const std::string& prop) const {
    const auto* find = std::get_if<check::FindBegun>(&begun);
    return find != nullptr && find->prop == prop;
  }
};

}  // namespace

check::EntryNumber* begun_in(check::Event& event) { return std::visit(BegunIn{}, event); }

check::EntryNumber begun_of(const check::Event& event) {
  check::Event copy = event;
  const check::EntryNumber* const begun = begun_in(copy);
  return begun == nullptr ? 0 : *begun;
}

bool can_begin(const check::Event& begun, const check::Event& event) {
  return std::visit(CanBegin{begun}, event);
}

}  // namespace panewalk::logbook
