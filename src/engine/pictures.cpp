#include <algorithm>

#include "base/check.hpp"
#include "base/nearest.hpp"
#include "engine/look.hpp"

namespace panewalk::engine {
namespace {

using base::Problems;

/// Shorter is no picture that anybody can look at.
constexpr Duration kLeastEach = std::chrono::seconds{1};

void check_picture(const patch::PropPatch& patch, const std::vector<light::Colour>& picture,
                   const std::string& where, Problems& problems) {
  if (picture.size() != patch.chips()) {
    problems.push_back({.where = where,
                        .what = std::to_string(picture.size()) + " colours for a chain of " +
                                std::to_string(patch.chips()),
                        .remedy = "one for each chip, nulls and spares included"});
  }
  if (patch.order().has_white()) return;
  const auto white = std::find_if(picture.begin(), picture.end(),
                                  [](light::Colour colour) { return colour.white != 0; });
  if (white == picture.end()) return;
  problems.push_back(
      {.where = base::element(where, static_cast<std::size_t>(white - picture.begin())),
       .what = "these pixels have no white chip",
       .remedy = "red, green and blue"});
}

void check_pictures(const patch::PropPatch& patch, const PicturesAsked& asked, Problems& problems) {
  if (asked.pictures.empty()) {
    problems.push_back(
        {.where = "/pictures", .what = "there is no picture", .remedy = "one or more"});
  }
  for (std::size_t i = 0; i < asked.pictures.size(); ++i) {
    check_picture(patch, asked.pictures[i], base::element("/pictures", i), problems);
  }
}

/// The part of the pictures' own light that the cap leaves of their brightest channel.
light::Level within_cap(const std::vector<std::vector<light::Colour>>& pictures, light::Level cap) {
  int brightest = 0;
  for (const auto& picture : pictures) {
    for (const light::Colour colour : picture) {
      brightest = std::max(
          {brightest, int{colour.red}, int{colour.green}, int{colour.blue}, int{colour.white}});
    }
  }
  constexpr double kFull = 255;
  return light::Level::of(brightest == 0 ? 1 : cap.share() * kFull / brightest);
}

}  // namespace

std::size_t Look::Lit::beats() const {
  return pictures.colours.empty() ? program.beats() : pictures.colours.size();
}

pattern::Beat Look::Lit::at(Duration since, std::size_t from) const {
  if (pictures.colours.empty()) return program.at(since, from);
  pattern::Beat shown = beat(from);
  shown.into = std::max(since, Duration{0});
  if (beats() > 1) {
    shown = beat(from + static_cast<std::size_t>(shown.into / pictures.each));
    shown.into = std::max(since, Duration{0}) % pictures.each;
  }
  return shown;
}

pattern::Beat Look::Lit::beat(std::size_t number) const {
  if (pictures.colours.empty()) return program.beat(number);
  return {.step = number % beats(), .member = 0, .into = {}, .waits = false};
}

std::size_t Look::Lit::number(const pattern::Beat& beat) const {
  return pictures.colours.empty() ? program.number(beat) : beat.step;
}

std::string Look::Lit::caption(const pattern::Beat& beat) const {
  return pictures.colours.empty() ? program.caption(beat)
                                  : "picture " + std::to_string(beat.step + 1);
}

void Look::Lit::paint(const pattern::Beat& beat, std::span<light::Colour> pixels,
                      std::span<light::Colour> hidden) const {
  if (!pictures.colours.empty()) {
    const std::vector<light::Colour>& picture = pictures.colours[beat.step];
    PANEWALK_CHECK(picture.size() == pixels.size() + hidden.size());
    const auto dim = [this](light::Colour colour) { return light::dimmed(colour, level); };
    const auto end_of_pixels = picture.begin() + static_cast<std::ptrdiff_t>(pixels.size());
    std::transform(picture.begin(), end_of_pixels, pixels.begin(), dim);
    std::transform(end_of_pixels, picture.end(), hidden.begin(), dim);
    return;
  }
  program.paint(beat, pixels, level);
  std::ranges::fill(hidden, light::kBlack);
}

void Look::Lit::repaint(const pattern::Beat& before, const pattern::Beat& beat,
                        std::span<light::Colour> pixels, std::span<light::Colour> hidden) const {
  if (pictures.colours.empty()) {
    program.repaint(before, beat, pixels, level);
  } else if (before.step != beat.step) {
    paint(beat, pixels, hidden);
  }
}

std::optional<Touched> Look::Lit::difference(const pattern::Beat& one,
                                             const pattern::Beat& other) const {
  if (pictures.colours.empty()) {
    return Touched{.pixels = program.difference(one, other), .hidden = {}};
  }
  if (one.step == other.step) return Touched{};
  return std::nullopt;
}

base::Result<Look> compose_pictures(const Plan& plan, const PicturesAsked& asked) {
  Problems problems;
  const auto prop = plan.find_prop(asked.prop);
  if (!prop) {
    problems.push_back({.where = "/prop",
                        .what = "no prop is named " + base::quoted(asked.prop),
                        .remedy = base::name_hint(asked.prop, plan.prop_names())});
  } else {
    check_pictures(plan.patch.props[*prop], asked, problems);
  }
  if (asked.each < kLeastEach) {
    problems.push_back(
        {.where = "/each", .what = "a picture would go too soon", .remedy = "at least 1 s"});
  }
  if (!problems.empty()) return problems;
  Look::Lit lit{
      .prop = *prop, .program = {}, .level = within_cap(asked.pictures, plan.props[*prop]->cap)};
  lit.pictures.each = asked.each;
  const std::vector<std::size_t> slots = plan.canvas_slots(*prop);
  for (const std::vector<light::Colour>& picture : asked.pictures) {
    std::vector<light::Colour> colours;
    for (const std::size_t slot : slots) colours.push_back(picture[slot]);
    lit.pictures.colours.push_back(std::move(colours));
  }
  Look look{.prop_names = {asked.prop},
            .pattern = kFinder,
            .region = "",
            .asked = light::Level::of(1),
            .lit = {},
            .notes = {}};
  look.lit.push_back(std::move(lit));
  return look;
}

}  // namespace panewalk::engine
