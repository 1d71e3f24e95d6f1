#include "cli/power_text.hpp"

#include <array>
#include <cstdio>

#include "base/problem.hpp"
#include "cli/wrapped.hpp"
#include "config/units.hpp"
#include "prop/place_words.hpp"

namespace panewalk::cli {
namespace {

std::string fixed(double value, int places) {
  std::array<char, 64> text{};
  std::snprintf(text.data(), text.size(), "%.*f", places, value);
  return text.data();
}

std::string volts(base::Volts value) { return fixed(value.value(), 2) + " V"; }
std::string amps(base::Amps value) { return fixed(value.value(), 2) + " A"; }
std::string watts(power::Watts value) { return fixed(value.value(), 2) + " W"; }
std::string plain(double value) { return config::decimal(value); }
std::string metres(base::Millimetres length) { return fixed(length.value() / 1000, 2) + " m"; }

/// Writes the report part by part, so that each reads like a sentence or a small table.
class Writer {
 public:
  Writer(const PowerShown& shown, int columns)
      : shown_{shown}, study_{shown.study}, report_{shown.report}, columns_{columns} {}

  std::string write() {
    write_load();
    write_levels();
    write_feeds();
    write_limit();
    write_fuses();
    write_wire();
    write_help();
    write_reading();
    write_cautions();
    return std::move(text_);
  }

 private:
  void say(const std::string& sentence) { text_ += wrapped(sentence, columns_) + '\n'; }
  void heading(const std::string& words) { text_ += '\n' + words + '\n'; }
  /// Two blanks before it, and before what is broken off.
  void item(const std::string& words) {
    std::string lines = wrapped(words, columns_ - 2);
    for (std::size_t at = 0; (at = lines.find('\n', at)) != std::string::npos; ++at) {
      lines.insert(at + 1, "  ");
    }
    text_ += "  " + lines + '\n';
  }

  [[nodiscard]] std::string place(base::PixelIndex pixel) const {
    return "pixel " + std::to_string(pixel.value()) + " at " +
           (*study_.frame)[study_.map->station_of(pixel)].name;
  }
  [[nodiscard]] std::string place(std::size_t node) const {
    return place(base::PixelIndex::of(node + 1));
  }

  void write_load() {
    const std::string& name = shown_.plan->props[shown_.prop]->name;
    const std::string from =
        plain(study_.source.value()) + " V" + (study_.supply ? "" : " (no supply is named)");
    if (!shown_.solution) {
      say(name + ", " + shown_.load + ": collapses on " + from +
          ". Pixels of constant power draw more as their volts fall, and this wire can't carry "
          "it.");
      return;
    }
    const power::Solution& solution = *shown_.solution;
    say(name + ", " + shown_.load + ": " + amps(solution.total) + ", " + watts(solution.given) +
        " from " + from + " (" + watts(solution.chips) + " in the pixels, " + watts(solution.wire) +
        " in the wire)");
    const double share = 1 - solution.lowest_volts() / study_.source;
    say("Lowest: " + volts(solution.lowest_volts()) + " at " + place(solution.lowest) + ", " +
        fixed(share * 100, 1) + " % under the supply; " + verdict(solution.lowest_volts()));
    const auto station = study_.map->station_of(base::PixelIndex::of(solution.lowest + 1));
    say("Seen from the FRONT: " + prop::place_in_words(*study_.frame, station, prop::Side::kFront) +
        ". From the BACK: " + prop::place_in_words(*study_.frame, station, prop::Side::kBack) +
        '.');
    say(warmth());
    say("Reckoned with " + config::current_text(study_.pixel.full_white) +
        " a pixel at full white, " + config::current_text(study_.pixel.idle) + " at black" +
        origin() + "; copper at " + config::temperature_text(study_.power.temperature) + ", " +
        config::resistance_text(study_.power.contact) + " a splice.");
  }

  [[nodiscard]] std::string verdict(base::Volts lowest) const {
    if (lowest < report_.least) return "too low, " + volts(report_.least) + " is the least.";
    if (lowest < report_.warning) return "more than 5 % lost, add a feed or thicker wire.";
    return "good.";
  }

  [[nodiscard]] std::string origin() const {
    const auto& measured = study_.power.measured;
    if (measured && measured->ten_white) return " (measured)";
    return " (as the prop file or the default says: measuring ten pixels is better)";
  }

  [[nodiscard]] std::string warmth() const {
    if (!report_.full) return "At full white the chain collapses.";
    if (!report_.warm_below) {
      return "Pixels of constant power keep their white, and then fail all at once.";
    }
    const std::string below = "below " + plain(report_.warm_below->value()) + " V";
    if (!report_.warm_from) return "White turns warm " + below + ": nowhere at full white.";
    return "White turns warm " + below + ": from " + place(*report_.warm_from) +
           " on at full white.";
  }

  void write_levels() {
    heading("All white at     takes    lowest");
    for (const int level : {25, 50, 75, 100}) {
      const auto settles = power::solve_white(report_.network, study_.pixel, study_.source,
                                              light::Level::of(level / 100.0));
      std::array<char, 80> line{};
      if (settles) {
        std::snprintf(line.data(), line.size(), "  %9d %%  %6.2f A  %6.2f V", level,
                      settles->total.value(), settles->lowest_volts().value());
      } else {
        std::snprintf(line.data(), line.size(), "  %9d %%  collapses", level);
      }
      text_ += line.data();
      text_ += '\n';
    }
  }

  void write_feeds() {
    if (!shown_.solution) return;
    heading("Feeds");
    if (report_.network.lead) {
      item("lead of " + metres(report_.network.lead->length) + ", " +
           config::wire_text(report_.network.lead->wire) + ": " + amps(shown_.solution->lead));
    }
    for (std::size_t i = 0; i < report_.network.legs.size(); ++i) {
      const power::Leg& leg = report_.network.legs[i];
      const bool own = leg.kind != power::Feed::Kind::kLeadIn;
      const bool named = leg.kind == power::Feed::Kind::kInjection;
      item((named ? leg.at + ", pixel " + std::to_string(leg.node + 1)
                  : leg.at + ", " + place(leg.node)) +
           ": " + amps(shown_.solution->legs[i]) +
           (own ? " through " + metres(leg.length) + " of " + config::wire_text(leg.wire) : ""));
    }
  }

  void write_limit() {
    using Why = power::LevelLimit::Why;
    const std::string level = fixed(report_.limit.level.share() * 100, 1) + " %";
    const std::size_t controller = shown_.plan->patch.props[shown_.prop].controller();
    const std::string supply = "the supply of " + shown_.plan->controllers[controller].name;
    text_ += '\n';
    switch (report_.limit.why) {
      case Why::kNothing:
        say(study_.supply
                ? "Level limit: none. " + supply + " carries all its props at full white."
                : "Level limit: none by the volts; what the supply carries is not known.");
        break;
      case Why::kAmps:
        say("Level limit: " + level + ", with everything on " + supply +
            " at the same level; more takes over its " + plain(study_.supply->value()) + " A.");
        break;
      case Why::kVolts:
        say("Level limit: " + level + "; more brings a pixel below " + volts(report_.least) + ".");
        break;
      case Why::kBlack:
        say("Level limit: 0 %; even black is too much for " + supply + " or its wire.");
        break;
    }
  }

  void write_fuses() {
    if (report_.fuses.empty()) return;
    heading("Fuses, one a leg, in the positive wire where the leg begins");
    for (const power::LegFuse& leg : report_.fuses) {
      std::string words = leg.leg + ": ";
      words += leg.fuse.amps ? plain(leg.fuse.amps->value()) + " A" : std::string{"none fits"};
      words += ", carries " + amps(leg.running) + " at full white, " + config::wire_text(leg.wire);
      if (!leg.fuse.amps) {
        words += " is too thin for any fuse; take a thicker wire";
      } else if (!leg.fuse.holds) {
        words += " allows no more, and it will blow; split the leg or take a thicker wire";
      } else if (leg.covered) {
        words += "; the lead's fuse covers it";
      }
      item(words);
    }
  }

  void write_wire() {
    heading("Wire along the prop, at full white (the prop has " +
            config::wire_text(study_.power.wire) + ")");
    for (const power::WireChoice& choice : report_.wires) {
      std::string words = config::wire_text(choice.wire) + ": ";
      words += choice.lowest ? "lowest " + volts(*choice.lowest) : std::string{"collapses"};
      if (choice.lowest && !choice.fuses_hold) words += ", too thin for the fuse that a leg needs";
      if (report_.enough && choice.wire == *report_.enough)
        words += ", the thinnest that is enough";
      item(words);
    }
    if (!report_.enough) {
      item("None of them is enough with these feeds: within 5 %, behind a fuse that protects it.");
    }
  }

  [[nodiscard]] std::string change(const power::Alternative& other) const {
    using Kind = power::Alternative::Kind;
    const std::string wire = config::wire_text(other.wire);
    const std::string of_wire = " (" + metres(other.length) + " of " + wire + ")";
    switch (other.kind) {
      case Kind::kTieBack: return "a tie-back to " + place(other.pixel) + of_wire;
      case Kind::kInjection: return "one more injection at " + place(other.pixel) + of_wire;
      case Kind::kThickerWire: return wire + " along the prop";
      case Kind::kThickerLead: return wire + " for the lead";
    }
    return "";
  }

  void write_help() {
    heading("What a change would do, at full white");
    for (const power::Alternative& other : report_.alternatives) {
      std::string words = change(other) + ": ";
      if (!other.settles) {
        words += "collapses";
      } else {
        words += "lowest " + volts(other.settles->lowest_volts()) + " at " +
                 place(other.settles->lowest);
      }
      item(words);
    }
    if (report_.alternatives.empty()) item("nothing: one pixel at the supply");
  }

  void write_reading() {
    if (!report_.compare) return;
    const power::Comparison& both = *report_.compare;
    heading("Measured against computed, at full white");
    item("at pixel 1: " + volts(both.near_measured) + " measured, " + volts(both.near_computed) +
         " computed");
    item("lost to the last pixel: " + volts(both.drop_measured) + " measured, " +
         volts(both.drop_computed) + " computed");
    if (both.contact) {
      item("Contacts of " + fixed(both.contact->value() * 1000, 1) +
           " mohm a splice would explain it. If you believe that, write \"contact\": \"" +
           fixed(both.contact->value() * 1000, 1) + " mohm\" in the prop's power.");
    } else if (both.drop_measured > both.drop_computed * 1.1) {
      item(
          "More is lost than contacts explain: thinner wire than it says, copper-clad aluminium "
          "(about 1.5 times copper), a bad splice, or more current than assumed.");
    } else if (both.drop_measured * 1.1 < both.drop_computed) {
      item(
          "Less is lost than computed: the pixels draw less than assumed, or the wire is thicker.");
    }
  }

  void write_cautions() {
    text_ += '\n';
    if (report_.class_two && !report_.class_two->within) {
      say("This supply is not Class 2 (at these volts " + plain(report_.class_two->most.value()) +
          " A at most): its output can start a fire, so treat the wiring as a power circuit.");
    } else if (report_.class_two) {
      say("By its nameplate this supply is within Class 2; only one that is marked so is one.");
    }
    say("This is a calculator. Fuses, GFCI/RCD and the right wire protect; a limit in software "
        "protects nothing, and a fault can command full white. Load a supply to 80 % of its "
        "nameplate at most. Never join the positive of two supplies; join their grounds. Power off "
        "before you plug or splice. Mains: listed and enclosed supplies, local codes first, by a "
        "licensed electrician.");
  }

  const PowerShown& shown_;
  const power::Study& study_;
  const power::Report& report_;
  int columns_;
  std::string text_;
};

}  // namespace

std::string power_as_text(const PowerShown& shown, int columns) {
  return Writer{shown, columns}.write();
}

}  // namespace panewalk::cli
