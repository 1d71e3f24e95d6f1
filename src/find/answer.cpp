#include "find/answer.hpp"

#include <algorithm>
#include <utility>

#include "base/nearest.hpp"

namespace panewalk::find {
namespace {

using base::Problem;
using practice::Subject;
using Words = std::vector<std::string>;

constexpr const char* kUnsure = "unsure";
constexpr const char* kNone = "none";
constexpr const char* kAll = "all";

Words quoted(const Words& words) {
  Words all;
  all.reserve(words.size());
  for (const std::string& word : words) all.push_back(base::quoted(word));
  return all;
}

Words colour_names() {
  Words names;
  for (int i = 0; i < practice::kSeenColours; ++i) {
    names.emplace_back(practice::to_text(static_cast<SeenColour>(i)));
  }
  return names;
}

Words station_names(const Subject& subject) {
  Words names;
  names.reserve(subject.frame->stations().size());
  for (const prop::Station& station : subject.frame->stations()) names.push_back(station.name);
  return names;
}

/// Reads one answer; what is wrong with it is gathered into one problem.
class Reader {
 public:
  Reader(const Subject& subject, const Question& question, const Said& said)
      : subject_{subject}, question_{question}, words_{said.words}, is_list_{said.is_list} {}

  base::Result<Sighting, Problem> read() {
    if (words_ == Words{kUnsure}) {
      Sighting unsure;
      unsure.unsure = true;
      return unsure;
    }
    Sighting sighting;
    if (std::find(words_.begin(), words_.end(), kUnsure) != words_.end()) {
      refuse("\"unsure\" is not said together with something else", "\"unsure\" alone");
    } else {
      sighting = seen();
    }
    if (problem_.what.empty()) return sighting;
    return problem_;
  }

 private:
  void refuse(const std::string& what, const std::string& remedy) {
    problem_.what += (problem_.what.empty() ? "" : "; ") + what;
    if (remedy.empty() || problem_.remedy.find(remedy) != std::string::npos) return;
    problem_.remedy += (problem_.remedy.empty() ? "" : "; ") + remedy;
  }

  Sighting seen() {
    switch (question_.ask) {
      case Ask::kSame:
      case Ask::kHold: return either();
      case Ask::kWhere: return stations();
      case Ask::kOther: return other_prop();
      case Ask::kLastLit: return last_lit();
      case Ask::kColours: return colours();
    }
    return {};
  }

  [[nodiscard]] std::string allowed() const {
    return "allowed: " + base::listed(quoted(choices(subject_, question_)), "or");
  }

  /// Where there is one answer only.
  std::optional<std::string> one_word(const std::string& allowed) {
    if (words_.size() == 1) return words_.front();
    refuse(words_.empty()
               ? "there is no answer"
               : "one answer is wanted, " + std::to_string(words_.size()) + " were given",
           allowed);
    return std::nullopt;
  }

  Sighting either() {
    const Words known = choices(subject_, question_);  // the one that is 1 stands first
    const auto word = one_word(allowed());
    if (!word) return {};
    if (*word == known[0] || *word == known[1]) return Sighting::of(*word == known[0] ? 1 : 0);
    refuse(base::quoted(*word) + " is no answer to this", base::name_hint(*word, known));
    return {};
  }

  Sighting other_prop() {
    const auto word = one_word(allowed());
    if (!word) return {};
    if (*word == kNone) return Sighting::of(-1);
    const Words& props = subject_.prop_names;
    const auto found = std::find(props.begin(), props.end(), *word);
    const auto index = static_cast<std::size_t>(found - props.begin());
    if (found == props.end()) {
      refuse("no prop is named " + base::quoted(*word),
             base::name_hint(*word, choices(subject_, question_)));
    } else if (index == subject_.prop) {
      refuse(base::quoted(*word) + " is the prop itself", allowed());
    } else {
      return Sighting::of(static_cast<std::int32_t>(index));
    }
    return {};
  }

  Sighting last_lit() {
    constexpr const char* kAllowed = R"(a station, "none", "all" or "unsure")";
    const auto word = one_word(kAllowed);
    if (!word) return {};
    if (*word == kNone) return Sighting::of(0);
    if (*word == kAll) return Sighting::of(static_cast<std::int32_t>(subject_.map->size()));
    const auto station = subject_.frame->find_station(*word);
    if (!station) {
      Words known = station_names(subject_);
      known.insert(known.end(), {kNone, kAll, kUnsure});
      refuse_stations({*word}, known);
      return {};
    }
    const auto pixel = subject_.map->pixel_of(*station);
    if (!pixel) {
      refuse("no pixel sits at " + base::quoted(*word), "a station that carries a pixel");
      return {};
    }
    return Sighting::of(static_cast<std::int32_t>(pixel->value()));
  }

  Sighting stations() {
    if (words_ == Words{kNone}) return {};
    if (words_.empty() && !is_list_) {
      refuse("there is no answer", R"(stations, "none" or "unsure")");
      return {};
    }
    Words unknown;
    std::vector<StationIndex> lit;
    for (const std::string& word : words_) {
      if (word == kNone) {
        refuse("\"none\" is not said together with stations", "\"none\" alone");
      } else if (const auto station = subject_.frame->find_station(word)) {
        lit.push_back(*station);
      } else if (std::find(unknown.begin(), unknown.end(), word) == unknown.end()) {
        unknown.push_back(word);
      }
    }
    std::sort(lit.begin(), lit.end());
    lit.erase(std::unique(lit.begin(), lit.end()), lit.end());
    if (!unknown.empty()) {
      Words known = station_names(subject_);
      known.insert(known.end(), {kNone, kUnsure});
      refuse_stations(unknown, known);
    }
    if (lit.size() > Sighting::kMost) {
      refuse(std::to_string(lit.size()) + " stations are named",
             "at most " + std::to_string(Sighting::kMost) + "; where more are lit, \"unsure\"");
    }
    Sighting sighting;
    for (const StationIndex station : lit) {
      sighting.add(static_cast<std::int32_t>(station.value()));
    }
    return sighting;
  }

  /// A prop has more names than anyone would read.
  void refuse_stations(const Words& unknown, const Words& known) {
    refuse("no station is named " + base::listed(quoted(unknown), "or"), "");
    bool no_hint = false;
    for (const std::string& word : unknown) {
      const auto near = base::nearest(word, known);
      no_hint = no_hint || !near;
      if (!near) continue;
      std::string hint = "did you mean " + base::quoted(*near);
      if (unknown.size() > 1) hint += " by " + base::quoted(word);
      refuse_more(hint + '?');
    }
    if (!no_hint) return;
    Words such{subject_.frame->stations().front().name};
    if (known.size() > 1 && subject_.frame->stations().size() > 1) {
      such.push_back(an_inner_name());
    }
    refuse_more("names are as on the drawing, such as " + base::listed(quoted(such), "or"));
  }
  void refuse_more(const std::string& remedy) {
    problem_.remedy += (problem_.remedy.empty() ? "" : "; ") + remedy;
  }

  /// A name inside a bar where there is one.
  [[nodiscard]] std::string an_inner_name() const {
    const auto& all = subject_.frame->stations();
    const auto inner =
        std::find_if(all.begin(), all.end(), [](const prop::Station& each) { return !each.joint; });
    return inner != all.end() ? inner->name : all.back().name;
  }

  Sighting colours() {
    const std::size_t pictures = question_.pictures.size();
    if (words_.size() != pictures) {
      refuse((pictures == 1 ? std::string{"1 colour is wanted"}
                            : std::to_string(pictures) + " colours are wanted, one a picture") +
                 ", " + (words_.empty() ? "none" : std::to_string(words_.size())) +
                 (words_.size() == 1 ? " was given" : " were given"),
             "");
    }
    Words unknown;
    Sighting sighting;
    for (const std::string& word : words_) {
      if (const auto colour = practice::seen_colour_from(word)) {
        sighting.add(static_cast<std::int32_t>(*colour));
      } else if (std::find(unknown.begin(), unknown.end(), word) == unknown.end()) {
        unknown.push_back(word);
      }
    }
    if (unknown.size() == 1) {
      refuse(base::quoted(unknown.front()) + " is no colour of ours",
             base::name_hint(unknown.front(), choices(subject_, question_)));
    } else if (!unknown.empty()) {
      refuse(base::listed(quoted(unknown)) + " are no colours of ours", allowed());
    } else if (!problem_.what.empty()) {
      refuse_more(allowed());
    }
    return sighting;
  }

  const Subject& subject_;
  const Question& question_;
  const Words& words_;
  bool is_list_;
  Problem problem_;
};

std::string station_name(const Subject& subject, std::int32_t station) {
  return (*subject.frame)[StationIndex::of(static_cast<std::size_t>(station))].name;
}

std::string last_lit_name(const Subject& subject, std::int32_t pixel) {
  if (pixel == 0) return kNone;
  if (pixel == static_cast<std::int32_t>(subject.map->size())) return kAll;
  const auto index = base::PixelIndex::of(static_cast<std::size_t>(pixel));
  return (*subject.frame)[subject.map->station_of(index)].name;
}

}  // namespace

base::Result<Sighting, Problem> read_answer(const Subject& subject, const Question& question,
                                            const Said& said) {
  return Reader{subject, question, said}.read();
}

Said said(const Subject& subject, const Question& question, const Sighting& sighting) {
  if (sighting.unsure) return {.words = {kUnsure}};
  const std::int32_t first = sighting.values[0];
  switch (question.ask) {
    case Ask::kSame: return {.words = {first == 1 ? "yes" : "no"}};
    case Ask::kHold: return {.words = {first == 1 ? "held" : "dark"}};
    case Ask::kOther:
      return {.words = {first < 0 ? kNone : subject.prop_names[static_cast<std::size_t>(first)]}};
    case Ask::kLastLit: return {.words = {last_lit_name(subject, first)}};
    case Ask::kWhere:
    case Ask::kColours: break;
  }
  Said all{.words = {}, .is_list = true};
  for (const std::int16_t value : sighting) {
    all.words.push_back(question.ask == Ask::kWhere
                            ? station_name(subject, value)
                            : std::string{practice::to_text(static_cast<SeenColour>(value))});
  }
  return all;
}

std::vector<std::string> choices(const Subject& subject, const Question& question) {
  Words words;
  switch (question.ask) {
    case Ask::kSame: words = {"yes", "no"}; break;
    case Ask::kHold: words = {"held", "dark"}; break;
    case Ask::kWhere: words = {kNone}; break;
    case Ask::kLastLit: words = {kNone, kAll}; break;
    case Ask::kColours: words = colour_names(); break;
    case Ask::kOther:
      for (std::size_t i = 0; i < subject.prop_names.size(); ++i) {
        if (i != subject.prop) words.push_back(subject.prop_names[i]);
      }
      words.emplace_back(kNone);
      break;
  }
  words.emplace_back(kUnsure);
  return words;
}

}  // namespace panewalk::find
