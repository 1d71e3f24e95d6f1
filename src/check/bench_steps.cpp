#include <algorithm>

#include "check/bench.hpp"
#include "pattern/region.hpp"
#include "prop/place_words.hpp"

namespace panewalk::check {
namespace {

using base::PixelIndex;
using engine::Plan;
using engine::PlannedProp;
using pattern::Surface;

constexpr light::Level kOrdinary = light::Level::of(0.3);
constexpr light::Level kLoad = light::Level::of(1);

std::string counted(std::size_t count, const std::string& one, const std::string& many) {
  return count == 1 ? one : std::to_string(count) + ' ' + many;
}

/// Why nothing of a region or family can be lit, in one line.
std::string lacking(const Surface& surface, const char* words, const char* otherwise) {
  const std::vector<std::string> all = pattern::missing(surface, words);
  return all.empty() ? otherwise : base::listed(all);
}

std::size_t lit_members(const Surface& surface, const char* family) {
  const auto members = pattern::family(surface, family);
  return static_cast<std::size_t>(
      std::count_if(members.begin(), members.end(),
                    [](const pattern::Region& member) { return !member.pixels.empty(); }));
}

std::size_t lit_pixels(const Surface& surface, const char* words) {
  const auto region = pattern::region(surface, words);
  return region ? region.value().pixels.size() : 0;
}

/// In the order in which a builder meets them (common practice, no source).
std::vector<std::string> load_cautions() {
  return {
      "Panewalk can't switch anything off, and its limit is no protection. Fuses, an earth-leakage "
      "breaker (GFCI or RCD) and wire of the right size are.",
      "See that every feed has its fuse, and that no fuse is larger than its wire allows.",
      "Switch the power off before you touch, plug or splice anything.",
      "Use a listed, enclosed supply. Keep to the electrical code of your place, and leave the "
      "work "
      "on mains to a licensed electrician.",
      "Stop at once where the far end turns yellow or orange, or where a wire, a plug or a pixel "
      "gets warm or smells.",
  };
}

/// Lays the steps of one prop, one after another.
class Steps {
 public:
  Steps(const Plan& plan, std::size_t index)
      : plan_{plan}, prop_{*plan.props[index]}, surface_{plan.surface(index)} {}

  std::vector<BenchStep> all() {
    add_steps_of_the_data();
    add_steps_of_the_shape();
    add_load("load-quarter", "A quarter of the load", "a quarter", 1);
    add_load("load-half", "Half of the load", "half", 2);
    add_load("load-three-quarters", "Three quarters of the load", "three quarters", 3);
    add_load("load-full", "The whole load", "the whole", 4);
    return std::move(steps_);
  }

 private:
  BenchStep& add(const char* step, const char* title, const char* pattern, std::string question) {
    const pattern::PatternDescription* description = plan_.find_pattern(pattern);
    BenchStep added{.step = step,
                    .title = title,
                    .pattern = pattern,
                    .region = {},
                    .beat = {},
                    .level = kOrdinary,
                    .look_for = description != nullptr ? description->look_for : "",
                    .question = std::move(question),
                    .cautions = {},
                    .why_not = {}};
    if (description == nullptr) {
      added.why_not = "there is no pattern " + base::quoted(pattern);
    }
    steps_.push_back(std::move(added));
    return steps_.back();
  }

  static void refuse(BenchStep& step, bool fits, std::string why) {
    if (!fits && !step.why_not) step.why_not = std::move(why);
  }

  void add_steps_of_the_data() {
    const std::size_t pixels = prop_.map.size();
    const base::StationIndex first = prop_.map.station_of(PixelIndex::of(1));
    const std::string front = place_in_words(prop_.frame, first, prop::Side::kFront);
    const std::string back = place_in_words(prop_.frame, first, prop::Side::kBack);
    BenchStep& one =
        add("first-pixel", "The first pixel", "find-me",
            "Does the pixel at the lead-in glow, and no other? Its place seen from the front: " +
                front + (back == front ? "." : "; from the back: " + back + "."));
    one.region = "pixel 1";
    one.look_for =
        "One pixel alone glows white and fades again, once every three seconds: the one where the "
        "lead-in comes in.";

    add("colour-order", "The order of the colours", "colour-roll",
        "Is the whole prop red, then green, then blue, then white, and no pixel unlike its "
        "neighbours?");

    const std::size_t tens = pixels / 10;
    const std::size_t rest = pixels % 10;
    BenchStep& ruler =
        add("ruler", "The count of the pixels", "ruler",
            "Along the wire, do you count " +
                counted(tens, "one bright white pixel", "bright white pixels") +
                ", and after the last of them " +
                (rest == 0 ? "nothing more" : counted(rest, "one dim pixel", "dim pixels")) + "?");
    refuse(ruler, tens > 0,
           "with " + counted(pixels, "one pixel", "pixels") + " there is no tenth to count by");

    const std::size_t runs = prop_.map.runs().size();
    BenchStep& colours = add("runs", "The runs", "run-colours",
                             "Are there " + std::to_string(runs) +
                                 " runs, each changing its colour exactly where the drawing starts "
                                 "the next one?");
    refuse(colours, runs > 1, "one run only, so there is no second colour to compare it with");

    const std::size_t splices = prop_.map.splices().size();
    BenchStep& ends =
        add("jump-ends", "Both ends of each jump and hop", "jump-ends",
            splices == 1 ? "Does the one pair lie where the drawing puts it, yellow where the data "
                           "leaves and blue where it lands?"
                         : "Does each of the " + std::to_string(splices) +
                               " pairs lie where the drawing puts it, yellow where the data leaves "
                               "and blue where it lands?");
    refuse(ends, splices > 0, "no hop or jump on this prop");
  }

  void add_steps_of_the_shape() {
    const char* each = prop_.frame.names_sections() ? " of each section" : "";
    BenchStep& corners =
        add("corners", "The corners", "corner-check",
            std::string{prop_.turned ? "Held upside down, as it will hang, and s" : "S"} +
                "een from the front: is the corner" + each +
                " red at the top left, green at the top right, blue at the bottom right and white "
                "at the bottom left?");
    const std::size_t lit = lit_pixels(surface_, "corners");
    refuse(corners, lit > 1,
           lit == 1 ? "all its corners fall on one pixel"
                    : lacking(surface_, "corners", "no corner on this prop"));

    BenchStep& centre =
        add("centre-cross", "The middle", "centre-cross",
            std::string{"Is the one bright pixel"} + each +
                " in the exact middle, with as many dim pixels on one side of it as on the other?");
    refuse(centre, lit_pixels(surface_, "centre") > 0,
           lacking(surface_, "centre", "no middle on this prop"));

    const std::size_t panes = lit_members(surface_, "panes");
    BenchStep& openings =
        add("panes", "The panes", "per-pane",
            panes == 1 ? "Does the one opening light up all round, without a gap?"
                       : "Does each of the " + std::to_string(panes) +
                             " openings light up all round, one after the other, and nothing "
                             "beyond it?");
    refuse(openings, panes > 0, "no panes on this prop");

    const auto& runs = prop_.map.runs();
    BenchStep& slope = add("slope", "The way of each run", "slope",
                           "Is each run darkest where the data comes in, growing evenly to its "
                           "brightest at the other end?");
    refuse(slope,
           std::any_of(runs.begin(), runs.end(),
                       [](const wiring::Run& run) { return run.first < run.last; }),
           "no run has two pixels");
  }

  void add_load(const char* step, const char* title, const char* share, int beat) {
    BenchStep& added =
        add(step, title, "load-step",
            "With " + std::string{share} +
                " of the load, is the far end of the wire as white and as bright as the first "
                "pixel, with nothing blinking and nothing warm?");
    added.beat = beat;
    added.level = kLoad;
    added.cautions = load_cautions();
  }

  const Plan& plan_;
  const PlannedProp& prop_;
  Surface surface_;
  std::vector<BenchStep> steps_;
};

}  // namespace

std::vector<BenchStep> bench_steps(const Plan& plan, std::size_t prop) {
  return Steps{plan, prop}.all();
}

}  // namespace panewalk::check
