#include "find/words.hpp"

#include "find/words_also.hpp"
#include "find/words_fault.hpp"
#include "find/words_places.hpp"
#include "find/words_steps.hpp"

namespace panewalk::find {
namespace {

using practice::Fault;
using practice::FaultKind;
using practice::Subject;

/// Below this nobody should cut a wire for it, with what no light tells apart taken together.
constexpr double kSureEnough = 0.9;

std::string shown_text(const Question& question) {
  const std::size_t pictures = question.pictures.size();
  if (question.shown == "nothing lit") return "The picture is dark.";
  if (pictures == 1) return "Lit: " + question.shown + '.';
  return "Lit in turn, " + std::to_string(pictures) + " pictures: " + question.shown + '.';
}

std::string each_picture(const Question& question) {
  const std::size_t pictures = question.pictures.size();
  if (pictures == 1) return "";
  return pictures == 2 ? ", in both pictures"
                       : ", in each of the " + std::to_string(pictures) + " pictures";
}

std::string asked(const Subject& subject, const Question& question) {
  switch (question.ask) {
    case Ask::kSame:
      return "Is every pixel lit as the drawing shows it, and nothing else" +
             each_picture(question) + "? Say yes or no.";
    case Ask::kWhere:
      return std::string{"Which stations are lit"} +
             (question.shown == "nothing lit" ? " all the same" : ", in any colour") +
             "? Tap or name them, or say none.";
    case Ask::kOther: return "Which other prop lights up instead? Say its name, or none.";
    case Ask::kLastLit: {
      const std::string& lead_in = (*subject.frame)[station_at(subject, 1)].name;
      return "Follow the wire as drawn, from the lead-in at " + lead_in +
             ". Which is the last pixel that is lit? Dark ones before it don't matter. Tap or name "
             "its station; say all if the very last one is lit, none if no pixel is.";
    }
    case Ask::kColours: {
      const std::string& name = (*subject.frame)[*question.station].name;
      return "Look at the pixel at " + name + " only (" + both_sides(subject, *question.station) +
             "). Which colour does it show" + each_picture(question) +
             "? Say dark where it is not lit.";
    }
    case Ask::kHold:
      return "Watch the pixels that do not follow. Do they keep old light, or are they dark? Say "
             "held or dark.";
  }
  return "";
}

double sure_of_all_alike(const Finding& finding) {
  double sum = finding.likeliest.certainty;
  for (std::size_t i = 0; i < finding.look_alike; ++i) sum += finding.also_possible[i].certainty;
  return sum;
}

std::string answers_text(const Finding& finding) {
  const std::string answers = counted(finding.questions, "answer", "answers");
  if (finding.questions == 0) return answers + " yet";
  if (finding.misfits.empty()) {
    return finding.questions == 1 ? answers + ", and it fits" : answers + ", and all fit";
  }
  std::vector<std::string> numbers;
  numbers.reserve(finding.misfits.size());
  for (const int number : finding.misfits) numbers.push_back(std::to_string(number));
  return answers + (numbers.size() == 1 ? ", and that to question " : ", and those to questions ") +
         base::listed(numbers) + (numbers.size() == 1 ? " does not fit" : " do not fit");
}

/// What light had no way to show.
std::string not_looked_at(const Subject& subject, const Finding& finding, bool bright) {
  std::string text;
  const std::int32_t broken = last_with_light(subject, finding.likeliest.fault);
  if (broken == 0) {
    text = " Nothing of the prop could be looked at: more can be wrong behind this.";
  } else if (broken < pixel_count(subject)) {
    text = " What lies past pixel " + std::to_string(broken) +
           " could not be looked at: a second break can hide there.";
  }
  if (!bright) {
    text += " Full white could not be looked at: the prop's level or its supply does not allow it.";
  }
  return text;
}

std::string how_sure(const Subject& subject, const Finding& finding, bool bright) {
  std::string text = percent(finding.likeliest.certainty) + ": " + answers_text(finding) + '.';
  if (finding.look_alike > 0) {
    const auto count = static_cast<std::int32_t>(finding.look_alike);
    text += " Light can't tell it from " + counted(count, "other fault", "other faults") +
            ": together they are " + percent(sure_of_all_alike(finding)) + '.';
  }
  return text + not_looked_at(subject, finding, bright);
}

const char* not_yet(FaultKind kind) {
  switch (kind) {
    case FaultKind::kNone: return "Don't rely on it yet: ";
    case FaultKind::kDataOpen:
    case FaultKind::kPowerOpen:
    case FaultKind::kPixelDark:
    case FaultKind::kPixelColour:
    case FaultKind::kPixelStuck:
    case FaultKind::kPixelSkipped:
    case FaultKind::kPixelExtra: return "Don't cut or solder yet: ";
    default: return "Don't change anything yet: ";
  }
}

/// The first step where it is too early to do anything.
std::string too_early(const Finding& finding) {
  const bool low = sure_of_all_alike(finding) < kSureEnough;
  if (!low && finding.misfits.empty()) return "";
  std::string text = not_yet(finding.likeliest.fault.kind);
  text += low ? "this is not sure. " : "not every answer fits. ";
  text += "Search again first";
  if (!finding.also_possible.empty()) text += ", or do the tests of what else it can be";
  return text + '.';
}

void put_first(std::vector<std::string>& steps, std::string step) {
  if (!step.empty()) steps.insert(steps.begin(), std::move(step));
}

}  // namespace

std::string question_text(const Subject& subject, const Question& question) {
  const std::string& prop = subject.prop_names[subject.prop];
  const std::string only =
      question.ask == Ask::kOther ? "Only " + prop + " is told to light. " : "";
  return only + shown_text(question) + ' ' + asked(subject, question);
}

std::vector<std::string> opening(const Subject& subject) {
  std::vector<std::string> lines;
  const auto add = [&lines](std::string text) { lines.push_back(std::move(text)); };
  add("Switch the power off before you touch, plug or cut anything.");
  add("Panewalk can't switch anything off. Fuses, an earth-leakage breaker (GFCI or RCD) and wire "
      "of the right size protect; a program does not.");
  add("Mains is for a licensed electrician, and the codes of your place come first.");
  add("Keep yourself, the ladder and the prop 3 m (10 ft) from overhead lines. Ladder on firm "
      "ground, someone with you, not in wind.");
  add("Light that changes can harm people who are sensitive to flashing. Never more than three "
      "flashes a second are sent; stop if anyone feels unwell.");
  add("Places are named as seen from the FRONT, unless BACK is said.");
  add("The data enters at " + pixel_and_place(subject, 1) + ".");
  add("A part that stands still in old light and does not follow the pictures counts as dark. One "
      "pixel alone that is lit in every picture counts as lit.");
  add("Answer unsure where you are: that costs one more question, a wrong answer many.");
  return lines;
}

FindingWords words_for(const Subject& subject, const Finding& finding, bool bright) {
  const Fault& fault = finding.likeliest.fault;
  const Fault& second = finding.likeliest.second;
  FindingWords words;
  if (fault.kind != FaultKind::kNone) words.fault = practice::to_text(subject, fault);
  if (second.kind != FaultKind::kNone) words.second = practice::to_text(subject, second);
  words.index = pixel_of_fault(subject, fault);
  if (words.index > 0) words.station = (*subject.frame)[station_at(subject, words.index)].name;
  words.text = what_is_wrong(subject, fault, bright);
  words.suspects = suspects_of(subject, fault);
  words.how_sure = how_sure(subject, finding, bright);
  words.also = also_lines(subject, finding);
  words.steps = steps_for(subject, finding, bright);
  words.confirm = confirmed_by(subject, fault);
  if (second.kind != FaultKind::kNone) {
    words.text += " And a second fault: " + what_is_wrong(subject, second, bright);
    words.confirm += ' ' + confirmed_by(subject, second);
  }
  put_first(words.steps, too_early(finding));
  return words;
}

}  // namespace panewalk::find
