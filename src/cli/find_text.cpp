#include "cli/find_text.hpp"

#include <algorithm>
#include <ostream>

#include "cli/drawing.hpp"
#include "cli/find_typed.hpp"
#include "cli/running.hpp"
#include "cli/wrapped.hpp"

namespace panewalk::cli {
namespace {

using base::Duration;
using find::Ask;

constexpr Duration kRedraw = std::chrono::milliseconds{50};
constexpr Duration kLook = std::chrono::seconds{1};
/// Of a terminal, for the words around a drawing.
constexpr int kRowsOfWords = 9;

/// In characters; colours of a terminal take no place.
std::size_t width_of(const std::string& line) {
  std::size_t width = 0;
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (line[i] == '\x1b') {
      i = std::min(line.find('m', i), line.size());
    } else if ((static_cast<unsigned char>(line[i]) & 0xc0U) != 0x80U) {
      ++width;
    }
  }
  return width;
}

std::size_t width_of(const std::vector<std::string>& lines) {
  std::size_t most = 0;
  for (const std::string& line : lines) most = std::max(most, width_of(line));
  return most;
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  for (std::size_t from = 0; from <= text.size();) {
    const std::size_t end = std::min(text.find('\n', from), text.size());
    lines.push_back(text.substr(from, end - from));
    from = end + 1;
  }
  return lines;
}

/// The text in lines, those after the first as far in as `head` is wide.
std::string hanging(const std::string& head, const std::string& text, int columns) {
  const std::string before(width_of(head), ' ');
  std::string all;
  for (const std::string& line : lines_of(wrapped(text, columns - static_cast<int>(head.size())))) {
    all += (all.empty() ? head : before) + line + '\n';
  }
  return all;
}

std::string list_of(const char* title, const std::vector<std::string>& sentences, int columns) {
  if (sentences.empty()) return "";
  std::string text = std::string{title} + '\n';
  for (const std::string& sentence : sentences) text += hanging("  - ", sentence, columns);
  return text;
}

std::string trimmed(const std::string& line) {
  const std::size_t first = line.find_first_not_of(" \t");
  if (first == std::string::npos) return "";
  return line.substr(first, line.find_last_not_of(" \t") - first + 1);
}

}  // namespace

FindTalk::FindTalk(FindSearch& search, FindLight& light, Listening& listening,
                   const std::vector<std::string>& route, Console& console)
    : search_{search},
      light_{light},
      listening_{listening},
      route_{route},
      console_{console},
      live_{console.out_is_terminal && console.in_is_terminal} {}

void FindTalk::print(const std::string& text) {
  console_.out << wrapped(text, console_.columns) << '\n';
}

bool FindTalk::search() {
  open();
  while (!search_.finder().done()) {
    light_.ask(search_.finder().question());
    put_question();
    if (!hear()) return false;
  }
  return true;
}

void FindTalk::open() {
  console_.out << '\n';
  for (const std::string& line : find::opening(search_.subject())) {
    console_.out << hanging("- ", line, console_.columns);
  }
  console_.out << "\nThe joints, and some of the stations between them, from the FRONT:\n";
  for (const std::string& line : names()) console_.out << line << '\n';
  if (!route_.empty()) {
    print("The data goes " + base::listed(route_, "and then") + ".");
  }
  console_.out << '\n';
  print(
      "Type an answer or its beginning. \"?\" asks the question again, \"quit\" leaves it for "
      "later.");
  if (!search_.why_anew().empty()) print(search_.why_anew());
  if (search_.answered_before() > 0) {
    print("This goes on with the search that was left open: " +
          std::to_string(search_.answered_before()) +
          (search_.answered_before() == 1 ? " question has its answer."
                                          : " questions have their answers."));
  }
}

void FindTalk::put_question() {
  const find::Finder& finder = search_.finder();
  console_.out << "\nQuestion " << finder.number() << '\n';
  print(find::question_text(search_.subject(), finder.question()));
  draw_question();
  lines_below_ = 0;
  below("Answer: " + answers_in_words(search_.subject(), finder.question()));
  prompt();
}

void FindTalk::below(const std::string& line) {
  const std::string text = wrapped(line, console_.columns);
  console_.out << text << '\n';
  lines_below_ += lines_of(text).size();
}

void FindTalk::prompt() { console_.out << "> " << std::flush; }

std::vector<std::string> FindTalk::lit(const std::vector<light::Colour>& lights) const {
  return draw(*search_.subject().frame, lights,
              {.colour = console_.colour,
               .columns = console_.columns,
               .rows = console_.rows - kRowsOfWords});
}

std::vector<std::string> FindTalk::names() const {
  const find::Finder& finder = search_.finder();
  std::optional<base::StationIndex> marked;
  if (!finder.done()) marked = finder.question().station;
  return draw_names(*search_.subject().frame, marked,
                    {.columns = console_.columns, .rows = console_.rows - kRowsOfWords});
}

std::vector<light::Colour> FindTalk::as_drawn(std::size_t picture) const {
  const practice::Subject& subject = search_.subject();
  std::vector<light::Colour> lights(subject.frame->stations().size());
  for (std::size_t i = 1; i <= subject.map->size(); ++i) {
    const auto pixel = base::PixelIndex::of(i);
    lights[subject.map->station_of(pixel).value()] =
        light_.frames()[picture][subject.patch->slot_of(pixel)];
  }
  return lights;
}

std::vector<std::string> FindTalk::drawing(std::size_t picture,
                                           const std::vector<light::Colour>& shown) const {
  std::vector<std::string> help;
  switch (search_.finder().question().ask) {
    case Ask::kSame: help = lit(as_drawn(picture)); break;
    case Ask::kWhere:
    case Ask::kLastLit:
    case Ask::kColours: help = names(); break;
    case Ask::kOther:
    case Ask::kHold: break;
  }
  if (!practising()) return help;
  std::vector<std::string> seen = lit(shown);
  if (help.empty()) return seen;
  constexpr std::size_t kGap = 3;
  const std::size_t left = width_of(help);
  if (left + kGap + width_of(seen) <= static_cast<std::size_t>(console_.columns)) {
    for (std::size_t i = 0; i < help.size(); ++i) {
      help[i].append(left + kGap - width_of(help[i]), ' ');
      help[i] += seen[i];
    }
    return help;
  }
  const bool room =
      help.size() + seen.size() + kRowsOfWords <= static_cast<std::size_t>(console_.rows);
  if (!room) return seen;
  help.insert(help.end(), seen.begin(), seen.end());
  return help;
}

std::string FindTalk::label(std::size_t picture) const {
  const find::Question& question = search_.finder().question();
  std::string text;
  switch (question.ask) {
    case Ask::kSame: text = "As drawn"; break;
    case Ask::kWhere:
    case Ask::kLastLit:
    case Ask::kColours: text = "The stations"; break;
    case Ask::kOther:
    case Ask::kHold: break;
  }
  if (practising()) text += text.empty() ? "The practice yard" : ", and the practice yard";
  if (text.empty()) return "";
  if (question.pictures.size() > 1 && (practising() || question.ask == Ask::kSame)) {
    text += ", picture " + std::to_string(picture + 1) + " of " +
            std::to_string(question.pictures.size());
  }
  if (practising() && question.ask == Ask::kOther) {
    const std::vector<std::string> others = light_.others_lit();
    text += others.empty() ? ", where no other prop is lit"
                           : ", where besides is lit: " + base::listed(others);
  }
  return text + ':';
}

void FindTalk::draw_question() {
  const find::Question& question = search_.finder().question();
  drawn_.clear();
  const auto add = [this](std::size_t number, const std::vector<light::Colour>& shown) {
    if (std::string head = label(number); !head.empty()) drawn_.push_back(std::move(head));
    for (std::string& line : drawing(number, shown)) drawn_.push_back(std::move(line));
  };
  if (live_) {
    add(light_.picture(), light_.shown());
  } else if (practising()) {
    std::size_t number = 0;
    for (const auto& shown : light_.each_as_shown()) add(number++, shown);
  } else {
    const std::size_t pictures = question.ask == Ask::kSame ? question.pictures.size() : 1;
    for (std::size_t i = 0; i < pictures; ++i) add(i, {});
  }
  for (const std::string& line : drawn_) console_.out << line << '\n';
}

void FindTalk::draw_again() {
  // What has scrolled away can't be drawn over.
  if (!live_ || drawn_.size() + lines_below_ >= static_cast<std::size_t>(console_.rows)) return;
  const std::size_t number = light_.picture();
  std::vector<std::string> now;
  if (std::string head = label(number); !head.empty()) now.push_back(std::move(head));
  for (std::string& line : drawing(number, light_.shown())) now.push_back(std::move(line));
  if (now == drawn_) return;
  // The cursor is saved and put back: somebody may be typing.
  console_.out << "\x1b"
                  "7\x1b["
               << now.size() + lines_below_ << "A\r";
  for (const std::string& line : now) console_.out << line << "\x1b[K\n";
  console_.out << "\x1b"
                  "8"
               << std::flush;
  drawn_ = std::move(now);
}

/// Of the supplies and the network; a flash that is held back comes late by a moment only.
void FindTalk::say_troubles() {
  io::Live live = light_.session().live();
  live.status.held.reset();
  for (std::string& trouble : troubles(live, light_.plan())) {
    if (std::find(told_.begin(), told_.end(), trouble) != told_.end()) continue;
    console_.out << (live_ ? "\r\x1b[K" : "\n");
    below("Note: " + trouble);
    told_.push_back(std::move(trouble));
    prompt();
  }
}

bool FindTalk::hear() {
  const find::Finder& finder = search_.finder();
  while (console_.out) {
    switch (listening_.wait(live_ ? kRedraw : kLook)) {
      case Listening::Heard::kTimeout:
        draw_again();
        say_troubles();
        continue;
      case Listening::Heard::kEnd: console_.out << '\n'; return false;
      case Listening::Heard::kLine: break;
    }
    const std::string line = trimmed(listening_.line());
    if (!console_.in_is_terminal) console_.out << line << '\n';
    if (line == "quit") return false;
    ++lines_below_;
    if (line == "?") {
      put_question();
      continue;
    }
    const auto seen = read_typed(search_.subject(), finder.question(), line);
    if (seen) {
      search_.answer(seen.value());
      return true;
    }
    below(base::to_line(seen.error()));
    prompt();
  }
  return false;
}

std::string finding_as_text(const find::Finding& finding, const find::FindingWords& words,
                            int columns) {
  std::string text = "Finding after " + std::to_string(finding.questions) +
                     (finding.questions == 1 ? " question: " : " questions: ") +
                     (words.fault.empty() ? "none" : words.fault) +
                     (words.second.empty() ? "" : " and " + words.second) + '\n';
  text +=
      wrapped(words.text, columns) + '\n' + wrapped("Certainty " + words.how_sure, columns) + '\n';
  text += list_of("Suspects:", words.suspects, columns);
  text += list_of("It can also be:", words.also, columns);
  if (!words.steps.empty()) text += "What to do:\n";
  int number = 0;
  for (const std::string& step : words.steps) {
    text += hanging("  " + std::to_string(++number) + ". ", step, columns);
  }
  if (!words.confirm.empty()) text += list_of("Afterwards:", {words.confirm}, columns);
  return text;
}

}  // namespace panewalk::cli
