#include "cli/find_typed.hpp"

#include <algorithm>

namespace panewalk::cli {
namespace {

using find::Ask;
using Words = std::vector<std::string>;

Words words_of(std::string_view line) {
  constexpr std::string_view kBetween = " \t,;";
  Words words;
  while (true) {
    line.remove_prefix(std::min(line.find_first_not_of(kBetween), line.size()));
    if (line.empty()) return words;
    const std::size_t end = std::min(line.find_first_of(kBetween), line.size());
    words.emplace_back(line.substr(0, end));
    line.remove_prefix(end);
  }
}

/// Letters of other alphabets stay as they are.
std::string small(std::string word) {
  for (char& letter : word) {
    if (letter >= 'A' && letter <= 'Z') letter = static_cast<char>(letter - 'A' + 'a');
  }
  return word;
}
std::string capital(std::string word) {
  for (char& letter : word) {
    if (letter >= 'a' && letter <= 'z') letter = static_cast<char>(letter - 'a' + 'A');
  }
  return word;
}

bool wants_stations(Ask ask) { return ask == Ask::kWhere || ask == Ask::kLastLit; }

class Typed {
 public:
  Typed(const practice::Subject& subject, const find::Question& question)
      : subject_{subject}, question_{question}, choices_{find::choices(subject, question)} {}

  /// The word that is meant; as it was typed where that can't be told.
  [[nodiscard]] std::string meant(const std::string& word) const {
    const bool stations = wants_stations(question_.ask);
    if (stations && is_station(word)) return word;
    const bool in_capitals = stations && is_station(capital(word));
    Words begun;
    for (const std::string& choice : choices_) {
      if (choice == small(word)) return choice;
      if (choice.rfind(small(word), 0) == 0) begun.push_back(choice);
    }
    if (in_capitals) return begun.empty() ? capital(word) : word;
    return begun.size() == 1 ? begun.front() : word;
  }

 private:
  [[nodiscard]] bool is_station(const std::string& word) const {
    return subject_.frame->find_station(word).has_value();
  }

  const practice::Subject& subject_;
  const find::Question& question_;
  Words choices_;
};

}  // namespace

base::Result<find::Sighting, base::Problem> read_typed(const practice::Subject& subject,
                                                       const find::Question& question,
                                                       std::string_view line) {
  find::Said said{.words = words_of(line),
                  .is_list = question.ask == Ask::kWhere || question.ask == Ask::kColours};
  // An empty list would be the answer that nothing is lit.
  if (said.words.empty()) {
    return base::Problem{.what = "there is no answer",
                         .remedy = answers_in_words(subject, question)};
  }
  const Typed typed{subject, question};
  for (std::string& word : said.words) word = typed.meant(word);
  return find::read_answer(subject, question, said);
}

std::string answers_in_words(const practice::Subject& subject, const find::Question& question) {
  const auto choices = find::choices(subject, question);
  switch (question.ask) {
    case Ask::kWhere: return "all stations that are lit, or " + base::listed(choices, "or");
    case Ask::kLastLit: return "a station, " + base::listed(choices, "or");
    case Ask::kColours:
      return question.pictures.size() == 1
                 ? base::listed(choices, "or")
                 : std::to_string(question.pictures.size()) + " colours, one a picture (" +
                       base::listed({choices.begin(), choices.end() - 1}, "or") + "), or " +
                       choices.back();
    default: return base::listed(choices, "or");
  }
}

}  // namespace panewalk::cli
