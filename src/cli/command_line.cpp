#include <CLI/CLI.hpp>
#include <ostream>

#include "base/utc.hpp"
#include "cli/commands.hpp"
#include "cli/faults.hpp"
#include "cli/option_words.hpp"
#include "config/units.hpp"

namespace panewalk::cli {
namespace {

constexpr const char* kAbout =
    "Panewalk checks pixel props: where each pixel sits, in which order the data visits it,\n"
    "and whether the real thing agrees.";
constexpr const char* kFooter =
    "First steps, with no hardware:\n"
    "  panewalk validate config/boathouse.json\n"
    "  panewalk map config/boathouse.json slip-window\n"
    "  panewalk light config/boathouse.json slip-window chase --practice\n"
    "\nExit status: 0 done, 1 failed while running, 2 wrong usage, 3 the input has faults.";

/// All that the command line can say, in one place.
class CommandLine {
 public:
  CommandLine() {
    app_.require_subcommand(1);
    app_.footer(kFooter);
    app_.set_version_flag("--version", "panewalk " PANEWALK_VERSION);
    add_validate();
    add_map();
    add_wire();
    add_power();
    add_sheet();
    add_light();
    add_find();
    add_serve();
    add_scan();
    add_demo();
    add_logbook();
  }

  int run(int argc, const char* const* argv, Console& console) {
    try {
      app_.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
      const bool wrong = error.get_exit_code() != 0;
      app_.exit(error, console.out, console.err);
      return wrong ? kUsage : kDone;
    }
    if (*validate_) return cli::validate(validate_asked_, console);
    if (*map_) {
      map_asked_.form = form_of(form_);
      map_asked_.as_picture = form_ == "svg";
      return cli::map(map_asked_, console);
    }
    if (*sheet_) {
      if (!drawing_.empty()) {
        sheet_asked_.drawing = drawing_ == "front" ? prop::Side::kFront : prop::Side::kBack;
      }
      if (units_ == "in") sheet_asked_.units = sheet::Units::kInches;
      return cli::sheet(sheet_asked_, console);
    }
    if (*logbook_) {
      logbook_asked_.form = form_of(form_);
      for (const auto& kind : kinds_) {
        logbook_asked_.filter.kinds.push_back(*logbook::kind_from(kind));
      }
      if (since_) logbook_asked_.filter.since = base::read_utc_day(*since_);
      return cli::logbook(logbook_asked_, console);
    }
    if (*wire_) {
      wire_asked_.as_json = text_form_ == "json";
      if (longest_jump_) wire_asked_.longest_jump = config::parse_length(*longest_jump_);
      return cli::wire(wire_asked_, console);
    }
    if (*power_) {
      power_asked_.as_json = text_form_ == "json";
      power_asked_.level = *read_percent(full_level_);
      take_readings();
      return cli::power(power_asked_, console);
    }
    if (*light_) {
      if (seconds_) {
        light_asked_.time =
            std::chrono::duration_cast<base::Duration>(std::chrono::duration<double>{*seconds_});
      }
      light_asked_.level = *read_percent(level_);
      return cli::light(light_asked_, console);
    }
    if (*find_) {
      if (!place_.empty()) {
        find_asked_.place = place_ == "yard" ? check::FindPlace::kYard : check::FindPlace::kBench;
      }
      find_asked_.anew = find_asked_.anew || find_asked_.as_json;
      return cli::find(find_asked_, console);
    }
    if (*serve_) {
      take_listen(listen_, serve_asked_);
      return cli::serve(serve_asked_, console);
    }
    if (*scan_) {
      scan_asked_.time = std::chrono::seconds{scan_seconds_};
      scan_asked_.as_json = text_form_ == "json";
      return cli::scan(scan_asked_, console);
    }
    return cli::demo(demo_asked_, console);
  }

 private:
  CLI::App* command(const char* name, const char* about) {
    CLI::App* added = app_.add_subcommand(name, about);
    return added;
  }

  void add_form(CLI::App* to) {
    to->add_option("--as", form_, "how to print it")
        ->check(CLI::IsMember({"table", "csv", "json"}))
        ->capture_default_str();
  }

  void add_text_form(CLI::App* to) {
    to->add_option("--as", text_form_, "how to print it")
        ->check(CLI::IsMember({"text", "json"}))
        ->capture_default_str();
  }

  static CLI::Option* add_faults(CLI::App* to, std::vector<std::string>& faults) {
    return to
        ->add_option("--fault", faults,
                     "something wrong with a prop in practice, such as slip-window:data-open=17; "
                     "more than once")
        ->type_name("PROP:FAULT[=VALUE]")
        ->allow_extra_args(false);
  }

  void add_validate() {
    validate_ =
        command("validate", "Read everything; print every problem with file, place and remedy");
    validate_->add_option("SITE", validate_asked_.site, "the site file")->required();
    validate_->add_flag("--effective", validate_asked_.effective,
                        "print the files with every default filled in");
    validate_->footer("No socket is opened. Example:\n  panewalk validate config/boathouse.json");
  }

  void add_map() {
    map_ = command("map", "Print where each pixel sits and on which channel it is");
    map_->add_option("SITE", map_asked_.site, "the site file")->required();
    map_->add_option("PROP", map_asked_.prop, "the prop's name")->required();
    map_->add_option("--as", form_, "how to print it; svg is a picture seen from the front")
        ->check(CLI::IsMember({"table", "csv", "json", "svg"}))
        ->capture_default_str();
    map_->footer(
        "Positions are in millimetres from the prop's origin, the top left corner seen from the "
        "FRONT,\n"
        "x to the right, y down. Pixels are in the order in which the data visits them.");
  }

  void add_wire() {
    wire_ =
        command("wire", "Find the route with the fewest splices, with the bound that proves it");
    wire_->add_option("PROPFILE", wire_asked_.prop_file, "the prop file")->required();
    add_text_form(wire_);
    wire_->add_flag("--write", wire_asked_.write,
                    "put the route into the prop file; nothing else in it changes");
    CLI::Option* lead_in =
        wire_->add_option("--lead-in", wire_asked_.lead_in, "the joint where the data comes in");
    wire_->add_option("--lead-out", wire_asked_.lead_out, "the joint of the last pixel");
    wire_
        ->add_option("--longest-jump", longest_jump_,
                     "most wire of one hop or jump, such as \"2.5 m\"")
        ->check(check_length);
    wire_->add_flag("--keep-start", wire_asked_.keep_start, "begin where the file's route begins")
        ->excludes(lead_in);
    wire_->footer(
        "A splice is a hop or a jump. Of the routes with the fewest it is one with the least "
        "wire,\n"
        "measured along the bars. \"route\": \"fewest splices\" in a prop file asks for the same "
        "search.");
  }

  void add_power() {
    power_ =
        command("power", "Print currents, the lowest voltage and where, level limit and fuses");
    power_->add_option("SITE", power_asked_.site, "the site file")->required();
    power_->add_option("PROP", power_asked_.prop, "the prop's name")->required();
    add_text_form(power_);
    power_->add_option("--level", full_level_, "brightness in percent")
        ->check(check_percent)
        ->capture_default_str();
    power_->add_option("--pattern", power_asked_.pattern,
                       "instead of white: this pattern's picture with the lowest voltage");
    power_->add_option("--ten-white", ten_white_, "measured: ten pixels at white, \"420 mA\"")
        ->check(check_current);
    power_->add_option("--ten-black", ten_black_, "measured: ten pixels at black, \"9 mA\"")
        ->check(check_current);
    power_->add_option("--near-volts", near_volts_, "measured at pixel 1, at full white")
        ->check(CLI::Range(0.1, 60.0));
    power_->add_option("--far-volts", far_volts_, "measured at the last pixel, at full white")
        ->check(CLI::Range(0.0, 60.0));
    power_->footer(
        "Level limit, fuses and changes are for full white. Readings go before the prop file's "
        "figures.");
  }

  void add_sheet() {
    sheet_ =
        command("sheet", "Write the workbench sheet of a prop: one HTML file that prints well");
    sheet_->add_option("SITE", sheet_asked_.site, "the site file")->required();
    sheet_->add_option("PROP", sheet_asked_.prop, "the prop's name")->required();
    sheet_->add_option("--out", sheet_asked_.out, "the file to write, such as window.html")
        ->required();
    sheet_->add_option("--drawing", drawing_, "only this drawing, as an SVG file")
        ->check(CLI::IsMember({"front", "back"}));
    sheet_->add_option("--units", units_, "for lengths; inches to the sixteenth")
        ->check(CLI::IsMember({"mm", "in"}))
        ->capture_default_str();
    sheet_->footer(
        "Drawings, wiring steps, cut list, parts, patch, labels, power, bench check. Print it from "
        "a\n"
        "browser on A4 or Letter at 100 %, then the drawings are to scale. An older sheet is "
        "replaced,\n"
        "any other file is left alone.");
  }

  void take_readings() {
    power::Measured& measured = power_asked_.measured;
    if (ten_white_) measured.ten_white = config::parse_current(*ten_white_);
    if (ten_black_) measured.ten_black = config::parse_current(*ten_black_);
    if (near_volts_) measured.near_volts = base::Volts::of(*near_volts_);
    if (far_volts_) measured.far_volts = base::Volts::of(*far_volts_);
  }

  void add_light() {
    light_ = command("light", "Stream one pattern from the terminal, then go dark");
    light_->add_option("SITE", light_asked_.site, "the site file")->required();
    light_->add_option("PROP", light_asked_.prop, "the prop to light")->required();
    light_->add_option("PATTERN", light_asked_.pattern, "the pattern's name, such as chase")
        ->required();
    light_->add_option("--seconds", seconds_, "how long; without it until Ctrl-C")
        ->check(CLI::Range(0.1, 86400.0));
    light_->add_option("--level", level_, "brightness in percent, up to the prop's cap")
        ->check(check_percent)
        ->capture_default_str();
    light_->add_option("--region", light_asked_.region,
                       "only these pixels: \"pane B2\", \"run 2\", \"pixels 10-20\"");
    CLI::Option* practice = light_->add_flag(
        "--practice", light_asked_.practice,
        "to built-in receivers that behave like the wired prop; nothing to the network");
    add_faults(light_, light_asked_.faults)->needs(practice);
    light_->footer(std::string{"Draws the prop as it is lit and says what to look for. Enter steps "
                               "to the next picture.\n"
                               "Every way out ends dark, with the streams terminated.\n"
                               "Patterns that ship: chase, corner-check, centre-cross, per-pane, "
                               "run-colours, jump-ends,\n"
                               "ruler, slope, colour-roll, seams, load-step, find-me.\n"} +
                   kFaultWords);
  }

  void add_find() {
    find_ = command("find", "Ask what is seen, and name the fault");
    find_->add_option("SITE", find_asked_.site, "the site file")->required();
    find_->add_option("PROP", find_asked_.prop, "the prop that looks wrong")->required();
    find_->add_flag("--json", find_asked_.as_json,
                    "for another program: a JSON object a line, a search of its own each time");
    find_
        ->add_option("--place", place_,
                     "bench for a new build, yard where it had worked before; bench unless a "
                     "search is open")
        ->check(CLI::IsMember({"bench", "yard"}));
    find_->add_flag("--new", find_asked_.anew, "begin again instead of going on where it was left");
    find_->add_flag("--write", find_asked_.write,
                    "accept the correction of the site's files, where there is one");
    CLI::Option* practice = find_->add_flag(
        "--practice", find_asked_.practice,
        "to built-in receivers that behave like the wired props; nothing to the network");
    add_faults(find_, find_asked_.faults)->needs(practice);
    find_->footer(std::string{"Lights pictures, asks what is seen of them until it knows, and ends "
                              "dark. Answers are kept in\n"
                              "the logbook. Exit status 1: no finding was reached. Try:\n"
                              "  panewalk find config/boathouse.json slip-window --practice "
                              "--fault slip-window:surprise\n"} +
                  kFaultWords);
  }

  void add_serve() {
    serve_ =
        command("serve", "Run the daemon with its API; sends nothing until light is asked for");
    serve_->add_option("SITE", serve_asked_.site, "the site file")->required();
    serve_
        ->add_option("--listen", listen_,
                     "address and port; an address that others reach asks them for a join code, "
                     "0.0.0.0 is every IPv4 address of this machine")
        ->check(check_listen)
        ->capture_default_str();
    CLI::Option* practice = serve_->add_flag(
        "--practice", serve_asked_.practice,
        "to built-in receivers that behave like the wired props; nothing to the network");
    add_faults(serve_, serve_asked_.faults)->needs(practice);
    serve_->footer(
        std::string{
            "SIGHUP reads the site again (a broken one is refused and the old one goes on); SIGINT "
            "and\n"
            "SIGTERM end it dark. Try:\n"
            "  curl -d '{\"prop\": \"slip-window\", \"pattern\": \"chase\"}' \\\n"
            "       -H 'Content-Type: application/json' http://127.0.0.1:8017/api/light\n"} +
        kFaultWords);
  }

  void add_scan() {
    scan_ = command("scan", "Listen to the network: who else is there, and who sends what");
    scan_->add_option("SITE", scan_asked_.site, "the site file; without it no controller is asked");
    scan_
        ->add_option("--seconds", scan_seconds_,
                     "how long; E1.31 sources tell what they send every 10")
        ->check(CLI::Range(1, 3600))
        ->capture_default_str();
    add_text_form(scan_);
    scan_->footer("Sends no light and changes nothing. Ctrl-C: what was heard so far.");
  }

  void add_demo() {
    demo_ = command("demo", "Walk one prop through the core patterns in the practice yard");
    demo_->add_option("SITE", demo_asked_.site, "the site file")->required();
    demo_->add_option("PROP", demo_asked_.prop, "the prop to light")->required();
    demo_->add_flag("--stay", demo_asked_.stay, "then keep serving");
    demo_->add_option("--port", demo_asked_.port, "where to serve then")->capture_default_str();
    add_faults(demo_, demo_asked_.faults);
    demo_->footer(std::string{"Compares what the receivers got with the map, pixel by pixel.\n"} +
                  kFaultWords);
  }

  void add_logbook() {
    logbook_ =
        command("logbook", "Print what was checked, what was seen and what was found, newest last");
    logbook_->add_option("SITE", logbook_asked_.site, "the site file")->required();
    add_form(logbook_);
    logbook_->add_option("--prop", logbook_asked_.filter.prop, "only what is about this prop");
    logbook_
        ->add_option("--kind", kinds_,
                     "only bench, walk or find (the fault finder); more than once, or with commas")
        ->check(check_kind)
        ->delimiter(',')
        ->allow_extra_args(false);
    logbook_->add_option("--since", since_, "only from this day (UTC) on, such as 2026-11-25")
        ->check(check_day);
    logbook_->footer(
        "Times are UTC. The logbook is the file logbook.sqlite in $STATE_DIRECTORY or the user's "
        "XDG\n"
        "state folder; it is only read here, also while serve runs.");
  }

  CLI::App app_{kAbout, "panewalk"};
  CLI::App* validate_ = nullptr;
  CLI::App* map_ = nullptr;
  CLI::App* wire_ = nullptr;
  CLI::App* power_ = nullptr;
  CLI::App* light_ = nullptr;
  CLI::App* find_ = nullptr;
  CLI::App* serve_ = nullptr;
  CLI::App* demo_ = nullptr;
  CLI::App* logbook_ = nullptr;
  CLI::App* sheet_ = nullptr;
  CLI::App* scan_ = nullptr;
  ValidateAsked validate_asked_;
  MapAsked map_asked_;
  WireAsked wire_asked_;
  PowerAsked power_asked_;
  LightAsked light_asked_;
  FindAsked find_asked_;
  std::string place_;
  ServeAsked serve_asked_;
  DemoAsked demo_asked_;
  LogbookAsked logbook_asked_;
  std::vector<std::string> kinds_;
  std::optional<std::string> since_;
  SheetAsked sheet_asked_;
  ScanAsked scan_asked_;
  int scan_seconds_ = 12;
  std::string form_ = "table";
  std::string text_form_ = "text";
  std::string full_level_ = "100";
  std::string drawing_, units_ = "mm";
  std::optional<std::string> ten_white_, ten_black_, longest_jump_;
  std::optional<double> near_volts_, far_volts_;
  std::optional<double> seconds_;
  std::string level_ = "30";
  std::string listen_ = "127.0.0.1:8017";
};

}  // namespace

int run(int argc, const char* const* argv, Console& console) {
  return CommandLine{}.run(argc, argv, console);
}

}  // namespace panewalk::cli
