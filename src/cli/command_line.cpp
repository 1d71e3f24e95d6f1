#include <CLI/CLI.hpp>
#include <charconv>
#include <ostream>

#include "cli/commands.hpp"
#include "patch/description.hpp"

namespace panewalk::cli {
namespace {

/// "30", "30%" or "30 %" as a share.
std::optional<light::Level> read_percent(std::string text) {
  while (!text.empty() && (text.back() == '%' || text.back() == ' ')) text.pop_back();
  double percent = -1;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), percent);
  if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  if (!(percent >= 0 && percent <= 100)) return std::nullopt;
  return light::Level::of(percent / 100);
}

std::string check_percent(const std::string& text) {
  return read_percent(text) ? "" : "'" + text + "' is no level; 0 to 100, in percent";
}

std::string check_listen(const std::string& text) {
  const auto colon = text.rfind(':');
  unsigned port = 0;
  if (colon == std::string::npos) return "'" + text + "' has no port; such as 127.0.0.1:8017";
  const char* end = text.data() + text.size();
  const auto read = std::from_chars(text.data() + colon + 1, end, port);
  if (read.ec != std::errc{} || read.ptr != end || port > 65535) {
    return "'" + text.substr(colon + 1) + "' is no port; 1 to 65535, or 0 for any that is free";
  }
  return "";
}

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
    add_light();
    add_serve();
    add_demo();
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
      map_asked_.form = form_ == "json"  ? MapForm::kJson
                        : form_ == "csv" ? MapForm::kCsv
                                         : MapForm::kTable;
      return cli::map(map_asked_, console);
    }
    if (*light_) {
      if (seconds_) {
        light_asked_.time =
            std::chrono::duration_cast<base::Duration>(std::chrono::duration<double>{*seconds_});
      }
      light_asked_.level = *read_percent(level_);
      return cli::light(light_asked_, console);
    }
    if (*serve_) {
      const auto colon = listen_.rfind(':');
      serve_asked_.address = listen_.substr(0, colon);
      serve_asked_.port = static_cast<std::uint16_t>(std::stoul(listen_.substr(colon + 1)));
      return cli::serve(serve_asked_, console);
    }
    return cli::demo(demo_asked_, console);
  }

 private:
  CLI::App* command(const char* name, const char* about) {
    CLI::App* added = app_.add_subcommand(name, about);
    return added;
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
    map_->add_option("--as", form_, "how to print it")
        ->check(CLI::IsMember({"table", "csv", "json"}))
        ->capture_default_str();
    map_->footer(
        "Positions are in millimetres from the prop's origin, the top left corner seen from the "
        "FRONT,\n"
        "x to the right, y down. Pixels are in the order in which the data visits them.");
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
    light_->add_flag(
        "--practice", light_asked_.practice,
        "to built-in receivers that behave like the wired prop; nothing to the network");
    light_->footer(
        "Draws the prop as it is lit and says what to look for. Enter steps to the next picture.\n"
        "Every way out ends dark, with the streams terminated.\n"
        "Patterns that ship: chase, corner-check, centre-cross, per-pane, run-colours, jump-ends,\n"
        "ruler, slope, colour-roll, seams, load-step, find-me.");
  }

  void add_serve() {
    serve_ =
        command("serve", "Run the daemon with its API; sends nothing until light is asked for");
    serve_->add_option("SITE", serve_asked_.site, "the site file")->required();
    serve_->add_option("--listen", listen_, "loopback address and port")
        ->check(check_listen)
        ->capture_default_str();
    serve_->add_flag(
        "--practice", serve_asked_.practice,
        "to built-in receivers that behave like the wired props; nothing to the network");
    serve_->footer(
        "SIGHUP reads the site again (a broken one is refused and the old one goes on); SIGINT "
        "and\n"
        "SIGTERM end it dark. Try:\n"
        "  curl -d '{\"prop\": \"slip-window\", \"pattern\": \"chase\"}' \\\n"
        "       -H 'Content-Type: application/json' http://127.0.0.1:8017/api/light");
  }

  void add_demo() {
    demo_ = command("demo", "Walk one prop through the core patterns in the practice yard");
    demo_->add_option("SITE", demo_asked_.site, "the site file")->required();
    demo_->add_option("PROP", demo_asked_.prop, "the prop to light")->required();
    demo_->add_flag("--stay", demo_asked_.stay, "then keep serving");
    demo_->add_option("--port", demo_asked_.port, "where to serve then")->capture_default_str();
    demo_->footer("Compares what the receivers got with the map, pixel by pixel.");
  }

  CLI::App app_{kAbout, "panewalk"};
  CLI::App* validate_ = nullptr;
  CLI::App* map_ = nullptr;
  CLI::App* light_ = nullptr;
  CLI::App* serve_ = nullptr;
  CLI::App* demo_ = nullptr;
  ValidateAsked validate_asked_;
  MapAsked map_asked_;
  LightAsked light_asked_;
  ServeAsked serve_asked_;
  DemoAsked demo_asked_;
  std::string form_ = "table";
  std::optional<double> seconds_;
  std::string level_ = "30";
  std::string listen_ = "127.0.0.1:8017";
};

}  // namespace

int run(int argc, const char* const* argv, Console& console) {
  return CommandLine{}.run(argc, argv, console);
}

}  // namespace panewalk::cli
