#include "pattern/words.hpp"

#include <algorithm>
#include <charconv>
#include <optional>

#include "base/nearest.hpp"
#include "pattern/region.hpp"

namespace panewalk::pattern {
namespace {

using base::Problem;
using base::quoted;

/// What follows the first word.
enum class Rest { kNothing, kCorner, kJoint, kLetters, kLevel, kBar, kSection, kNumber, kRange };

struct Form {
  std::string_view word;
  Kind kind;
  Rest rest;
  std::string_view example;
};

constexpr Form kForms[] = {
    {"all", Kind::kAll, Rest::kNothing, "all"},
    {"outline", Kind::kOutline, Rest::kNothing, "outline"},
    {"inside", Kind::kInside, Rest::kNothing, "inside"},
    {"corners", Kind::kCorners, Rest::kNothing, "corners"},
    {"corner", Kind::kCorner, Rest::kCorner, "corner top-left"},
    {"crossings", Kind::kCrossings, Rest::kNothing, "crossings"},
    {"centre", Kind::kCentre, Rest::kNothing, "centre"},
    {"cross", Kind::kCross, Rest::kNothing, "cross"},
    {"pane", Kind::kPane, Rest::kJoint, "pane A1"},
    {"upright", Kind::kUpright, Rest::kLetters, "upright B"},
    {"level", Kind::kLevel, Rest::kLevel, "level 2"},
    {"bar", Kind::kBar, Rest::kBar, "bar A1-B1"},
    {"section", Kind::kSection, Rest::kSection, "section W"},
    {"run", Kind::kRun, Rest::kNumber, "run 2"},
    {"splice", Kind::kSplice, Rest::kNumber, "splice 1"},
    {"seam", Kind::kSeam, Rest::kNumber, "seam 1"},
    {"pixel", Kind::kPixel, Rest::kNumber, "pixel 17"},
    {"pixels", Kind::kPixels, Rest::kRange, "pixels 10-20"},
    {"universe", Kind::kUniverse, Rest::kNumber, "universe 2"},
};

constexpr FamilyWord kFamilies[] = {
    {"panes", "pane", Kind::kPane},
    {"runs", "run", Kind::kRun},
    {"splices", "splice", Kind::kSplice},
    {"seams", "seam", Kind::kSeam},
    {"bars", "bar", Kind::kBar},
    {"uprights", "upright", Kind::kUpright},
    {"levels", "level", Kind::kLevel},
    {"sections", "section", Kind::kSection},
    {"universes", "universe", Kind::kUniverse},
    {"pixels", "pixel", Kind::kPixel},
};

const Form* form_of(std::string_view word) {
  const auto* found = std::find_if(std::begin(kForms), std::end(kForms),
                                   [word](const Form& each) { return each.word == word; });
  return found == std::end(kForms) ? nullptr : found;
}

bool is_digit(char letter) { return letter >= '0' && letter <= '9'; }
bool is_capital(char letter) { return letter >= 'A' && letter <= 'Z'; }

/// From 1, without leading zeros.
std::optional<std::uint32_t> number(std::string_view text) {
  std::uint32_t value = 0;
  const char* end = text.data() + text.size();
  if (text.empty() || text.front() == '0' || !is_digit(text.front())) return std::nullopt;
  const auto [stop, error] = std::from_chars(text.data(), end, value);
  if (error != std::errc{} || stop != end) return std::nullopt;
  return value;
}

bool is_letters(std::string_view text) {
  return !text.empty() && std::all_of(text.begin(), text.end(), is_capital);
}

/// A joint of a window: letters, then a number.
bool is_grid_joint(std::string_view text) {
  const auto digits = std::find_if(text.begin(), text.end(), is_digit);
  const auto letters = static_cast<std::size_t>(digits - text.begin());
  return is_letters(text.substr(0, letters)) && number(text.substr(letters));
}

/// "W.A1" is "W" and "A1".
void split_section(Words& read) {
  const std::size_t dot = read.which.rfind('.');
  if (dot == std::string_view::npos) return;
  read.section = read.which.substr(0, dot);
  read.which = read.which.substr(dot + 1);
}

Problem unknown(std::string_view words) {
  std::vector<std::string> names;
  for (const Form& form : kForms) names.emplace_back(form.word);
  for (const FamilyWord& family : kFamilies) {
    if (family.family != "pixels") names.emplace_back(family.family);
  }
  const auto near = base::nearest(words.substr(0, words.find(' ')), names);
  return {.what = quoted(words) + " is no region",
          .remedy = near ? "did you mean " + quoted(*near) + "?"
                         : "allowed: " + base::listed(region_forms(), "or")};
}

Problem malformed(std::string_view words, const Form& form) {
  std::string what = quoted(words);
  switch (form.rest) {
    case Rest::kNothing: what += " says too much"; break;
    case Rest::kCorner:
    case Rest::kSection:
    case Rest::kBar: what += " does not say which"; break;
    case Rest::kJoint: what += " does not name a joint of a window"; break;
    case Rest::kLetters: what += " does not name an upright by its letter"; break;
    case Rest::kLevel:
    case Rest::kNumber: what += " does not give a number from 1"; break;
    case Rest::kRange: what += " does not give two numbers from 1"; break;
  }
  return {.what = what, .remedy = "write it like " + quoted(form.example)};
}

bool read_rest(const Form& form, Words& read) {
  const bool of_a_section =
      form.rest == Rest::kJoint || form.rest == Rest::kLetters || form.rest == Rest::kLevel;
  if (of_a_section) split_section(read);
  switch (form.rest) {
    case Rest::kNothing: return read.which.empty();
    case Rest::kCorner: return true;  // by name, below
    case Rest::kJoint: return is_grid_joint(read.which);
    case Rest::kLetters: return is_letters(read.which);
    case Rest::kLevel: return number(read.which).has_value();
    case Rest::kBar: {
      const std::size_t dash = read.which.find('-', 1);
      return dash != std::string_view::npos && dash + 1 < read.which.size();
    }
    case Rest::kSection: return !read.which.empty();
    case Rest::kNumber: read.from = read.to = number(read.which).value_or(0); return read.from > 0;
    case Rest::kRange: {
      const std::size_t dash = read.which.find('-');
      if (dash == std::string_view::npos) return false;
      read.from = number(read.which.substr(0, dash)).value_or(0);
      read.to = number(read.which.substr(dash + 1)).value_or(0);
      return read.from > 0 && read.to > 0;
    }
  }
  return false;
}

}  // namespace

std::string_view to_text(Corner corner) {
  switch (corner) {
    case Corner::kTopLeft: return "top-left";
    case Corner::kTopRight: return "top-right";
    case Corner::kBottomRight: return "bottom-right";
    case Corner::kBottomLeft: return "bottom-left";
  }
  return "";
}

base::Result<Words, Problem> read_words(std::string_view words) {
  Words read;
  // "W.outline", but "pane W.A1".
  const std::size_t dot = words.rfind('.');
  const Form* form = nullptr;
  if (dot != std::string_view::npos && dot > 0) {
    form = form_of(words.substr(dot + 1));
    if (form && (form->rest != Rest::kNothing || form->kind == Kind::kAll)) form = nullptr;
  }
  if (form) {
    read.section = words.substr(0, dot);
  } else {
    const std::size_t space = words.find(' ');
    form = form_of(words.substr(0, space));
    if (!form) return unknown(words);
    if (space != std::string_view::npos) read.which = words.substr(space + 1);
    if (read.which.empty() && (form->rest != Rest::kNothing || space != std::string_view::npos)) {
      return malformed(words, *form);
    }
  }
  read.kind = form->kind;
  read.word = form->word;
  if (form->rest == Rest::kCorner) {
    split_section(read);
    std::vector<std::string> names;
    for (const Corner corner : kAllCorners) {
      if (read.which == to_text(corner)) {
        read.corner = corner;
        return read;
      }
      names.emplace_back(to_text(corner));
    }
    return Problem{.what = quoted(read.which) + " is no corner",
                   .remedy = base::name_hint(read.which, names)};
  }
  if (!read_rest(*form, read)) return malformed(words, *form);
  if (read.kind == Kind::kPixels && read.from > read.to) {
    return Problem{.what = quoted(words) + " runs backwards",
                   .remedy = "write it like " + quoted("pixels " + std::to_string(read.to) + "-" +
                                                       std::to_string(read.from))};
  }
  return read;
}

const FamilyWord* family_word(std::string_view words) {
  const auto* found =
      std::find_if(std::begin(kFamilies), std::end(kFamilies),
                   [words](const FamilyWord& each) { return each.family == words; });
  return found == std::end(kFamilies) ? nullptr : found;
}

const std::vector<std::string>& region_forms() {
  static const std::vector<std::string> forms = [] {
    std::vector<std::string> examples;
    for (const Form& form : kForms) examples.emplace_back(form.example);
    return examples;
  }();
  return forms;
}

bool is_family(std::string_view words) { return family_word(words) != nullptr; }

bool well_formed(std::string_view words) { return is_family(words) || read_words(words).ok(); }

}  // namespace panewalk::pattern
