#include "support/onlooker.hpp"

#include <algorithm>
#include <set>

#include "find/sight.hpp"

namespace panewalk::test {

using find::Ask;
using find::Question;
using find::Sighting;
using practice::Fault;
using practice::FaultKind;

Onlooker::Onlooker(const Case& prop, const Fault& fault, const Fault& second)
    : prop_{prop},
      fault_{fault},
      built_{practice::with_fault(
          prop.subject,
          practice::with_fault(prop.subject, practice::as_described(prop.subject), fault), second)},
      sound_{practice::as_described(prop.subject)} {}

Sighting Onlooker::look(const Question& question) const {
  switch (question.ask) {
    case Ask::kHold: return Sighting::of(0);  // was there at power-on
    case Ask::kOther:
      return Sighting::of(fault_.kind == FaultKind::kLeadsExchanged ? fault_.value : -1);
    case Ask::kSame: return Sighting::of(same(question) ? 1 : 0);
    case Ask::kColours: {
      Sighting seen;
      for (const auto& picture : question.pictures) {
        seen.add(
            static_cast<int>(practice::seen(shown(built_, picture)[question.station->value()])));
      }
      return seen;
    }
    case Ask::kWhere: {
      Sighting seen;
      const auto lit = lit_stations(question);
      for (std::size_t i = 0; i < lit.size(); ++i) {
        if (lit[i]) seen.add(static_cast<std::int32_t>(i));
      }
      return seen;
    }
    case Ask::kLastLit: {
      const auto lit = lit_stations(question);
      std::int32_t last = 0;
      for (std::size_t i = 1; i <= prop_.map->size(); ++i) {
        if (lit[prop_.map->station_of(base::PixelIndex::of(i)).value()]) {
          last = static_cast<std::int32_t>(i);
        }
      }
      return Sighting::of(last);
    }
  }
  return {};
}

Sighting Onlooker::err(const Question& question, Sighting right, Random& random) const {
  const auto stations = static_cast<std::int32_t>(prop_.frame->stations().size());
  switch (question.ask) {
    case Ask::kSame:
    case Ask::kHold: return Sighting::of(1 - right.values[0]);
    case Ask::kOther: return Sighting::of(right.values[0] == -1 ? 1 : -1);
    case Ask::kLastLit: {
      const auto pixels = static_cast<std::int32_t>(prop_.map->size());
      std::int32_t said =
          pick(random, 0, 1) == 0 ? pick(random, 0, pixels) : right.values[0] + pick(random, 1, 3);
      if (said == right.values[0] || said > pixels) said = std::max(right.values[0] - 1, 0);
      return Sighting::of(said);
    }
    case Ask::kColours: {
      const auto at = static_cast<std::size_t>(pick(random, 0, right.count - 1));
      right.values[at] = static_cast<std::int16_t>((right.values[at] + pick(random, 1, 7)) % 8);
      return right;
    }
    case Ask::kWhere: {
      std::set<std::int32_t> lit(right.begin(), right.end());
      const int way = pick(random, 0, 2);
      if (way != 1 && !lit.empty())
        lit.erase(
            std::next(lit.begin(), pick(random, 0, static_cast<std::int32_t>(lit.size()) - 1)));
      if (way != 0 || lit.size() == right.count) lit.insert(pick(random, 0, stations - 1));
      Sighting said;
      for (const std::int32_t station : lit) said.add(station);
      return said;
    }
  }
  return right;
}

std::vector<light::Colour> Onlooker::shown(const practice::AsBuilt& built,
                                           const find::Picture& picture) const {
  std::vector<light::Colour> colours(prop_.frame->stations().size());
  practice::show(built, find::pack(prop_.subject, picture), colours);
  return colours;
}
bool Onlooker::same(const Question& question) const {
  return std::all_of(question.pictures.begin(), question.pictures.end(), [this](const auto& each) {
    return shown(built_, each) == shown(sound_, each);
  });
}
std::vector<bool> Onlooker::lit_stations(const Question& question) const {
  std::vector<bool> lit(prop_.frame->stations().size());
  for (const auto& picture : question.pictures) {
    const auto colours = shown(built_, picture);
    for (std::size_t i = 0; i < lit.size(); ++i) lit[i] = lit[i] || !colours[i].dark();
  }
  return lit;
}

}  // namespace panewalk::test
