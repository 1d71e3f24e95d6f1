#include "cli/command_line.hpp"
#include "cli/faults.hpp"
#include "cli/option_words.hpp"

namespace panewalk::cli {
namespace {

constexpr const char* kToPractice =
    "to built-in receivers that behave like the wired props; nothing to the network";

struct TypedLight {
  std::optional<double> seconds;
  std::string level = "30";
};
struct TypedFind {
  std::string place;
};
struct TypedServe {
  std::string listen = "127.0.0.1:8017";
};
struct TypedScan {
  int seconds = 12;
  std::string form = "text";
};

}  // namespace

Run declare_light(CLI::App& to) {
  auto heard = std::make_shared<Heard<LightAsked, TypedLight>>();
  LightAsked& asked = heard->asked;
  add_site(to, asked.site);
  to.add_option("PROP", asked.prop, "the prop to light")->required();
  to.add_option("PATTERN", asked.pattern, "the pattern's name, such as chase")->required();
  to.add_option("--seconds", heard->typed.seconds, "how long; without it until Ctrl-C")
      ->check(CLI::Range(0.1, 86400.0))
      ->type_name("SECONDS");
  add_percent(to, heard->typed.level, "brightness in percent, up to the prop's cap");
  to.add_option("--region", asked.region,
                "only these pixels: \"pane B2\", \"run 2\", \"pixels 10-20\"")
      ->type_name("REGION");
  CLI::Option* practice =
      add_practice(to, asked.practice,
                   "to built-in receivers that behave like the wired prop; nothing to the network");
  add_faults(to, asked.faults)->needs(practice);
  to.footer(std::string{"Draws the prop as it is lit and says what to look for. Enter steps "
                        "to the next picture.\n"
                        "Every way out ends dark, with the streams terminated.\n"
                        "Patterns that ship: chase, corner-check, centre-cross, per-pane, "
                        "run-colours, jump-ends,\n"
                        "ruler, slope, colour-roll, seams, load-step, find-me.\n"} +
            kFaultWords);
  return [heard](Console& console) {
    if (heard->typed.seconds) {
      heard->asked.time = std::chrono::duration_cast<base::Duration>(
          std::chrono::duration<double>{*heard->typed.seconds});
    }
    heard->asked.level = *read_percent(heard->typed.level);
    return light(heard->asked, console);
  };
}

Run declare_find(CLI::App& to) {
  auto heard = std::make_shared<Heard<FindAsked, TypedFind>>();
  FindAsked& asked = heard->asked;
  add_site(to, asked.site);
  to.add_option("PROP", asked.prop, "the prop that looks wrong")->required();
  to.add_flag("--json", asked.as_json,
              "for another program: a JSON object a line, a search of its own each time");
  to.add_option("--place", heard->typed.place,
                "bench for a new build, yard where it had worked before; bench unless a "
                "search is open")
      ->type_name("PLACE")
      ->check(CLI::IsMember({"bench", "yard"}));
  to.add_flag("--new", asked.anew, "begin again instead of going on where it was left");
  to.add_flag("--write", asked.write,
              "accept the correction of the site's files, where there is one");
  CLI::Option* practice = add_practice(to, asked.practice, kToPractice);
  add_faults(to, asked.faults)->needs(practice);
  to.footer(std::string{"Lights pictures, asks what is seen of them until it knows, and ends "
                        "dark. Answers are kept in\n"
                        "the logbook. Exit status 1: no finding was reached. Try:\n"
                        "  panewalk find config/boathouse.json slip-window --practice "
                        "--fault slip-window:surprise\n"} +
            kFaultWords);
  return [heard](Console& console) {
    const std::string& place = heard->typed.place;
    if (!place.empty()) {
      heard->asked.place = place == "yard" ? check::FindPlace::kYard : check::FindPlace::kBench;
    }
    heard->asked.anew = heard->asked.anew || heard->asked.as_json;
    return find(heard->asked, console);
  };
}

Run declare_serve(CLI::App& to) {
  auto heard = std::make_shared<Heard<ServeAsked, TypedServe>>();
  ServeAsked& asked = heard->asked;
  add_site(to, asked.site);
  to.add_option("--listen", heard->typed.listen,
                "address and port; an address that others reach asks them for a join code, "
                "0.0.0.0 is every IPv4 address of this machine")
      ->check(check_listen)
      ->type_name("ADDRESS:PORT")
      ->capture_default_str();
  CLI::Option* practice = add_practice(to, asked.practice, kToPractice);
  add_faults(to, asked.faults)->needs(practice);
  to.footer(
      std::string{
          "SIGHUP reads the site again (a broken one is refused and the old one goes on); SIGINT "
          "and\n"
          "SIGTERM end it dark. Try:\n"
          "  curl -d '{\"prop\": \"slip-window\", \"pattern\": \"chase\"}' \\\n"
          "       -H 'Content-Type: application/json' http://127.0.0.1:8017/api/light\n"} +
      kFaultWords);
  return [heard](Console& console) {
    take_listen(heard->typed.listen, heard->asked);
    return serve(heard->asked, console);
  };
}

Run declare_scan(CLI::App& to) {
  auto heard = std::make_shared<Heard<ScanAsked, TypedScan>>();
  to.add_option("SITE", heard->asked.site, "the site file; without it no controller is asked");
  to.add_option("--seconds", heard->typed.seconds,
                "how long; E1.31 sources tell what they send every 10")
      ->check(CLI::Range(1, 3600))
      ->type_name("SECONDS")
      ->capture_default_str();
  add_text_form(to, heard->typed.form);
  to.footer("Sends no light and changes nothing. Ctrl-C: what was heard so far.");
  return [heard](Console& console) {
    heard->asked.time = std::chrono::seconds{heard->typed.seconds};
    heard->asked.as_json = heard->typed.form == "json";
    return scan(heard->asked, console);
  };
}

Run declare_demo(CLI::App& to) {
  auto asked = std::make_shared<DemoAsked>();
  add_site(to, asked->site);
  to.add_option("PROP", asked->prop, "the prop to light")->required();
  to.add_flag("--stay", asked->stay, "then keep serving");
  to.add_option("--port", asked->port, "where to serve then")
      ->type_name("PORT")
      ->capture_default_str();
  add_faults(to, asked->faults);
  to.footer(std::string{"Compares what the receivers got with the map, pixel by pixel.\n"} +
            kFaultWords);
  return [asked](Console& console) { return demo(*asked, console); };
}

}  // namespace panewalk::cli
