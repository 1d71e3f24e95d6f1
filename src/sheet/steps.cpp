#include "sheet/steps.hpp"

#include <algorithm>

#include "config/units.hpp"
#include "prop/place_words.hpp"
#include "sheet/wires.hpp"

namespace panewalk::sheet {
namespace {

using base::PixelIndex;
using engine::Plan;
using engine::PlannedProp;

std::string pixels_text(PixelIndex first, PixelIndex last) {
  const std::string from = std::to_string(first.value());
  if (first == last) return "pixel " + from;
  return "pixels " + from + " to " + std::to_string(last.value());
}

std::string capital(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') {
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  }
  return text;
}

class Steps {
 public:
  Steps(const Plan& plan, std::size_t index, Units units)
      : plan_{plan}, index_{index}, prop_{*plan.props[index]}, units_{units} {}

  std::vector<Step> all() {
    make_ready();
    const std::vector<CutWire> wires = sheet::wires(prop_);
    const std::vector<Stretch> stretches = sheet::stretches(prop_);
    for (std::size_t i = 0; i < stretches.size(); ++i) {
      const Stretch& stretch = stretches[i];
      if (is_spliced(stretch.first)) splice(stretch.first, wires);
      push(stretch, i > 0 && stretches[i - 1].run == stretch.run);
      const bool ends_run = i + 1 == stretches.size() || stretches[i + 1].run != stretch.run;
      if (ends_run) test(stretch.run, stretch.last);
    }
    feed(wires);
    last_test();
    return std::move(steps_);
  }

 private:
  void add(Step::Kind kind, std::string title, std::string text, bool bold = false) {
    steps_.push_back({kind, std::move(title), std::move(text), bold});
  }

  [[nodiscard]] std::string place(PixelIndex pixel) const {
    const base::StationIndex station = prop_.map.station_of(pixel);
    return prop::place_in_words(prop_.frame, station, prop::Side::kBack) + " (" +
           prop_.frame[station].name + ')';
  }
  [[nodiscard]] bool is_spliced(PixelIndex pixel) const {
    const auto way = prop_.map.reached_by(pixel);
    return way == wiring::ReachedBy::kHop || way == wiring::ReachedBy::kJump;
  }

  void make_ready() {
    using Kind = Step::Kind;
    add(Kind::kMakeReady, "Mark the frame",
        "Write FRONT on the front. Lay the frame face down, BACK up, top away from you. Left and "
        "right are now exchanged: every place below is as you see it from the BACK.");
    add(Kind::kMakeReady, "Try the string first",
        "Light the whole string on the bench before you push a pixel. Then switch the power off: "
        "it "
        "stays off whenever you cut, splice or plug.");
    if (prop_.map.size() == 0) return;
    std::string lead = "Bring the lead-in to pixel 1: " + place(PixelIndex::of(1)) +
                       ". Label both ends: " + lead_label(plan_, index_) + '.';
    if (prop_.placement.nulls > 0) {
      lead +=
          " In the lead before pixel 1: " +
          counted(static_cast<std::size_t>(prop_.placement.nulls), "null pixel", "null pixels") +
          '.';
    }
    const Chain chain = chain_of(plan_, index_);
    if (chain.before) lead += " It comes from the lead-out of " + *chain.before + '.';
    add(Kind::kPower, "Lead-in", lead);
  }

  void push(const Stretch& stretch, bool within_run) {
    const wiring::Run& run = prop_.map.runs()[static_cast<std::size_t>(stretch.run) - 1];
    std::string text = within_run ? "Run " + std::to_string(stretch.run) + " goes on: push "
                                  : "Run " + std::to_string(stretch.run) + ": push ";
    text += pixels_text(stretch.first, stretch.last);
    if (stretch.first == stretch.last) {
      text += " into: " + place(stretch.first) + '.';
    } else {
      text += " in, " + stretch.way + ", from: " + place(stretch.first) +
              "; to: " + place(stretch.last) + '.';
    }
    for (const wiring::Spares& spares : prop_.map.spares()) {
      const auto after = static_cast<std::size_t>(spares.after);
      if (after < stretch.first.value() || after > stretch.last.value()) continue;
      text += " After pixel " + std::to_string(after) + " leave " +
              counted(static_cast<std::size_t>(spares.count), "spare pixel", "spare pixels") +
              " behind the frame.";
    }
    add(Step::Kind::kPixels, capital(pixels_text(stretch.first, stretch.last)), text,
        run.first == stretch.first || run.last == stretch.last);
  }

  void splice(PixelIndex to, const std::vector<CutWire>& wires) {
    const auto& splices = prop_.map.splices();
    const auto found =
        std::find_if(splices.begin(), splices.end(),
                     [to](const wiring::Splice& splice) { return splice.from.next() == to; });
    const CutWire& wire = wires[static_cast<std::size_t>(found - splices.begin())];
    const std::string from = std::to_string(found->from.value());
    const std::string onto = std::to_string(to.value());
    add(Step::Kind::kSplice, "Splice " + wire.name + ", a " + std::string{to_text(found->way)},
        "Cut after pixel " + from + ". Wire from pixel " + from + ": " + place(found->from) +
            "; to pixel " + onto + ": " + place(to) + ". Cut 3 conductors of " +
            length_text(wire.length, units_) + " (" + length_text(wire.way, units_) +
            " along the bars and " + length_text(kAtEachEnd, units_) +
            " at each end). Positive to positive, data OUT to data IN, ground to ground. Label "
            "both "
            "ends: " +
            wire.name + ", " + from + " to " + onto + '.');
  }

  void test(int run, PixelIndex last) {
    const std::string region =
        last.value() == 1 ? "pixel 1" : "pixels 1-" + std::to_string(last.value());
    add(Step::Kind::kTest, "Test after run " + std::to_string(run),
        "Power on. Do " + pixels_text(PixelIndex::of(1), last) +
            " light one after another? panewalk "
            "light SITE " +
            prop_.name + " chase --region \"" + region +
            "\". Power off. What is wrong "
            "now is the last thing that you touched.");
  }

  void feed(const std::vector<CutWire>& wires) {
    const PixelIndex end = PixelIndex::of(prop_.map.size());
    for (const CutWire& wire : wires) {
      if (wire.conductors != 2) continue;
      const std::string cut = "Cut 2 conductors of " + wire.size + ", " +
                              length_text(wire.length, units_) + " each (" +
                              length_text(wire.way, units_) + " and " +
                              length_text(kAtEachEnd, units_) + " at each end)";
      if (wire.name == "tie-back") {
        add(Step::Kind::kPower, "Tie-back",
            cut + ". Behind the bars from the lead-in's positive and ground to pixel " +
                std::to_string(end.value()) + ": " + place(end) +
                ". No data in it. Label both ends: tie-back.");
      } else {
        add(Step::Kind::kPower, capital(wire.name),
            cut +
                ", with a fuse of its own at the supply. It joins positive and ground there. No "
                "data in it. Label both ends: " +
                wire.name + '.');
      }
    }
  }

  void last_test() {
    if (prop_.map.size() == 0) return;
    const Chain chain = chain_of(plan_, index_);
    const PixelIndex end = PixelIndex::of(prop_.map.size());
    add(Step::Kind::kPower, chain.after ? "Lead-out" : "End of the chain",
        "Pixel " + std::to_string(end.value()) + ": " + place(end) + ". " +
            (chain.after ? "Its data OUT goes on to " + *chain.after + ". Label it so."
                         : "Nothing follows: seal its data OUT, and all open ends of wire."));
    add(Step::Kind::kTest, "All of it",
        "Go through the bench check on its page below. Then close splices and holes against "
        "water.");
  }

  const Plan& plan_;
  std::size_t index_;
  const PlannedProp& prop_;
  Units units_;
  std::vector<Step> steps_;
};

}  // namespace

Chain chain_of(const Plan& plan, std::size_t prop) {
  Chain chain;
  const patch::Placement& here = plan.props[prop]->placement;
  if (!here.output) return chain;
  for (std::size_t i = 0; i < plan.props.size(); ++i) {
    const patch::Placement& other = plan.props[i]->placement;
    if (i == prop || other.output != here.output || other.controller != here.controller) continue;
    if (i < prop) chain.before = plan.props[i]->name;
    if (i > prop && !chain.after) chain.after = plan.props[i]->name;
  }
  return chain;
}

std::string lead_label(const Plan& plan, std::size_t index) {
  const PlannedProp& prop = *plan.props[index];
  std::string text = prop.name + ", " + prop.placement.controller;
  if (prop.placement.output) text += " output " + std::to_string(*prop.placement.output);
  return text + ", universe " + std::to_string(prop.placement.universe) + " channel " +
         std::to_string(prop.placement.channel) + ", " +
         config::decimal(prop.pixel_power.volts.value()) + " V";
}

std::vector<Step> wiring_steps(const Plan& plan, std::size_t prop, Units units) {
  return Steps{plan, prop, units}.all();
}

}  // namespace panewalk::sheet
