#include "base/utc.hpp"
#include "cli/command_line.hpp"
#include "cli/option_words.hpp"
#include "config/units.hpp"

namespace panewalk::cli {
namespace {

/// How rows are printed.
struct TypedForm {
  std::string form = "table";
};
struct TypedWire {
  std::string form = "text";
  std::optional<std::string> longest_jump;
};
struct TypedPower {
  std::string form = "text", level = "100";
  std::optional<std::string> ten_white, ten_black;
  std::optional<double> near_volts, far_volts;
};
struct TypedSheet {
  std::string drawing, units = "mm";
};
struct TypedLogbook {
  std::string form = "table";
  std::vector<std::string> kinds;
  std::optional<std::string> since;
};

power::Measured readings(const TypedPower& typed) {
  power::Measured measured;
  if (typed.ten_white) measured.ten_white = config::parse_current(*typed.ten_white);
  if (typed.ten_black) measured.ten_black = config::parse_current(*typed.ten_black);
  if (typed.near_volts) measured.near_volts = base::Volts::of(*typed.near_volts);
  if (typed.far_volts) measured.far_volts = base::Volts::of(*typed.far_volts);
  return measured;
}

}  // namespace

Run declare_validate(CLI::App& to) {
  auto asked = std::make_shared<ValidateAsked>();
  add_site(to, asked->site);
  to.add_flag("--effective", asked->effective, "print the files with every default filled in");
  to.footer("No socket is opened. Example:\n  panewalk validate config/boathouse.json");
  return [asked](Console& console) { return validate(*asked, console); };
}

Run declare_map(CLI::App& to) {
  auto heard = std::make_shared<Heard<MapAsked, TypedForm>>();
  add_site(to, heard->asked.site);
  to.add_option("PROP", heard->asked.prop, "the prop's name")->required();
  to.add_option("--as", heard->typed.form, "how to print it; svg is a picture seen from the front")
      ->type_name("FORM")
      ->check(CLI::IsMember({"table", "csv", "json", "svg"}))
      ->capture_default_str();
  to.footer(
      "Positions are in millimetres from the prop's origin, the top left corner seen from the "
      "FRONT,\n"
      "x to the right, y down. Pixels are in the order in which the data visits them.");
  return [heard](Console& console) {
    heard->asked.form = form_of(heard->typed.form);
    heard->asked.as_picture = heard->typed.form == "svg";
    return map(heard->asked, console);
  };
}

Run declare_wire(CLI::App& to) {
  auto heard = std::make_shared<Heard<WireAsked, TypedWire>>();
  WireAsked& asked = heard->asked;
  to.add_option("PROPFILE", asked.prop_file, "the prop file")->required();
  add_text_form(to, heard->typed.form);
  to.add_flag("--write", asked.write,
              "put the route into the prop file; nothing else in it changes");
  CLI::Option* lead_in =
      to.add_option("--lead-in", asked.lead_in, "the joint where the data comes in")
          ->type_name("JOINT");
  to.add_option("--lead-out", asked.lead_out, "the joint of the last pixel")->type_name("JOINT");
  to.add_option("--longest-jump", heard->typed.longest_jump,
                "most wire of one hop or jump, such as \"2.5 m\"")
      ->check(check_length)
      ->type_name("LENGTH");
  to.add_flag("--keep-start", asked.keep_start, "begin where the file's route begins")
      ->excludes(lead_in);
  to.footer(
      "A splice is a hop or a jump. Of the routes with the fewest it is one with the least wire,\n"
      "measured along the bars. \"route\": \"fewest splices\" in a prop file asks for the same "
      "search.");
  return [heard](Console& console) {
    heard->asked.as_json = heard->typed.form == "json";
    const auto& longest = heard->typed.longest_jump;
    if (longest) heard->asked.longest_jump = config::parse_length(*longest);
    return wire(heard->asked, console);
  };
}

Run declare_power(CLI::App& to) {
  auto heard = std::make_shared<Heard<PowerAsked, TypedPower>>();
  TypedPower& typed = heard->typed;
  add_site(to, heard->asked.site);
  to.add_option("PROP", heard->asked.prop, "the prop's name")->required();
  add_text_form(to, typed.form);
  add_percent(to, typed.level, "brightness in percent");
  to.add_option("--pattern", heard->asked.pattern,
                "instead of white: this pattern's picture with the lowest voltage")
      ->type_name("PATTERN");
  to.add_option("--ten-white", typed.ten_white, "measured: ten pixels at white, \"420 mA\"")
      ->check(check_current)
      ->type_name("CURRENT");
  to.add_option("--ten-black", typed.ten_black, "measured: ten pixels at black, \"9 mA\"")
      ->check(check_current)
      ->type_name("CURRENT");
  to.add_option("--near-volts", typed.near_volts, "measured at pixel 1, at full white")
      ->check(CLI::Range(0.1, 60.0))
      ->type_name("VOLTS");
  to.add_option("--far-volts", typed.far_volts, "measured at the last pixel, at full white")
      ->check(CLI::Range(0.0, 60.0))
      ->type_name("VOLTS");
  to.footer(
      "Level limit, fuses and changes are for full white. Readings go before the prop file's "
      "figures.");
  return [heard](Console& console) {
    heard->asked.as_json = heard->typed.form == "json";
    heard->asked.level = *read_percent(heard->typed.level);
    heard->asked.measured = readings(heard->typed);
    return power(heard->asked, console);
  };
}

Run declare_sheet(CLI::App& to) {
  auto heard = std::make_shared<Heard<SheetAsked, TypedSheet>>();
  add_site(to, heard->asked.site);
  to.add_option("PROP", heard->asked.prop, "the prop's name")->required();
  to.add_option("--out", heard->asked.out, "the file to write, such as window.html")
      ->type_name("FILE")
      ->required();
  to.add_option("--drawing", heard->typed.drawing, "only this drawing, as an SVG file")
      ->type_name("SIDE")
      ->check(CLI::IsMember({"front", "back"}));
  to.add_option("--units", heard->typed.units, "for lengths; inches to the sixteenth")
      ->type_name("UNIT")
      ->check(CLI::IsMember({"mm", "in"}))
      ->capture_default_str();
  to.footer(
      "Drawings, wiring steps, cut list, parts, patch, labels, power, bench check. Print it from "
      "a\n"
      "browser on A4 or Letter at 100 %, then the drawings are to scale. An older sheet is "
      "replaced,\n"
      "any other file is left alone.");
  return [heard](Console& console) {
    const TypedSheet& typed = heard->typed;
    if (!typed.drawing.empty()) {
      heard->asked.drawing = typed.drawing == "front" ? prop::Side::kFront : prop::Side::kBack;
    }
    if (typed.units == "in") heard->asked.units = sheet::Units::kInches;
    return sheet(heard->asked, console);
  };
}

Run declare_logbook(CLI::App& to) {
  auto heard = std::make_shared<Heard<LogbookAsked, TypedLogbook>>();
  add_site(to, heard->asked.site);
  CLI::Option* const take =
      to.add_option("--take", heard->asked.take,
                    "add the entries of what --as json printed, perhaps on another machine")
          ->type_name("FILE");
  to.add_option("--as", heard->typed.form, "how to print it")
      ->type_name("FORM")
      ->check(CLI::IsMember({"table", "csv", "json"}))
      ->excludes(take)
      ->capture_default_str();
  to.add_option("--prop", heard->asked.filter.prop, "only what is about this prop")
      ->excludes(take)
      ->type_name("PROP");
  to.add_option("--kind", heard->typed.kinds,
                "only bench, walk or find (the fault finder); more than once, or with commas")
      ->type_name("KIND")
      ->check(CLI::Validator{check_kind, "{bench,walk,find}"})
      ->delimiter(',')
      ->excludes(take)
      ->allow_extra_args(false);
  to.add_option("--since", heard->typed.since, "only from this day (UTC) on, such as 2026-11-25")
      ->excludes(take)
      ->check(check_day)
      ->type_name("DAY");
  to.footer(
      "Times are UTC. The logbook is the file logbook.sqlite in $STATE_DIRECTORY or the user's "
      "XDG\n"
      "state folder. It is only read here, also while serve runs, unless --take adds to it: all "
      "of\n"
      "them or none, and none that is there already. Example:\n"
      "  panewalk logbook config/boathouse.json --take bench-laptop.json");
  return [heard](Console& console) {
    heard->asked.form = form_of(heard->typed.form);
    for (const auto& kind : heard->typed.kinds) {
      heard->asked.filter.kinds.push_back(*logbook::kind_from(kind));
    }
    if (heard->typed.since) heard->asked.filter.since = base::read_utc_day(*heard->typed.since);
    return logbook(heard->asked, console);
  };
}

}  // namespace panewalk::cli
