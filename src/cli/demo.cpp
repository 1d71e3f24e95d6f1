#include <algorithm>
#include <ostream>
#include <string>

#include "cli/agreement.hpp"
#include "cli/commands.hpp"
#include "cli/drawing.hpp"
#include "cli/faults.hpp"
#include "cli/load_site.hpp"
#include "cli/running.hpp"
#include "cli/wrapped.hpp"
#include "io/clock.hpp"
#include "io/signals.hpp"
#include "web/serving.hpp"

namespace panewalk::cli {
namespace {

using base::Duration;

/// One dark picture is what a pattern becomes on a prop that has none of its places.
bool shows_nothing(const pattern::Program& program) {
  return program.beats() == 1 && program.caption(program.beat(0)).empty();
}

constexpr const char* kWalked[] = {"chase", "corner-check", "centre-cross", "per-pane"};

/// The light of a practice prop, pattern by pattern, each picture held against the map.
class DemoWalk {
 public:
  DemoWalk(io::Session& session, std::size_t prop, io::Signals& signals, Console& console)
      : session_{session}, prop_{prop}, signals_{signals}, console_{console} {}

  /// False when a signal came.
  bool walk(const std::string& pattern) {
    const engine::PlannedProp& prop = *session_.plan().props[prop_];
    auto look = engine::compose(session_.plan(), {.props = {prop.name}, .pattern = pattern});
    if (!look) {
      print(look.error(), console_);
      return false;
    }
    const pattern::PatternDescription& described = *session_.plan().find_pattern(pattern);
    console_.out << '\n'
                 << pattern << ": " << described.purpose << '\n'
                 << wrapped("Look for: " + described.look_for, console_.columns) << '\n';
    if (shows_nothing(look.value().lit.front().program)) {
      for (const std::string& note : look.value().notes) console_.out << note << '\n';
      console_.out << pattern << ": not for this prop\n" << std::flush;
      return true;
    }
    const std::size_t beats = look.value().lit.front().program.beats();
    Agreement agreement{prop};
    if (!session_.light(std::move(look).value()) || !session_.step(engine::StepAsked::kHold)) {
      return false;
    }
    std::vector<light::Colour> shown;
    for (std::size_t beat = 0; beat < beats; ++beat) {
      if (beat > 0 && !session_.step(engine::StepAsked::kNext)) return false;
      if (!settle(beat, agreement)) return false;
      shown = session_.shown(prop_);
      // The picture in the middle says more than the first or the last.
      if (beat == beats / 2) show(shown);
    }
    console_.out << pattern << ": " << agreement.verdict() << '\n' << std::flush;
    differed_ += agreement.differed();
    agreed_ += agreement.agreed();
    return true;
  }

  [[nodiscard]] std::uint64_t differed() const { return differed_ + missing_; }
  [[nodiscard]] std::uint64_t agreed() const { return agreed_; }

 private:
  /// Until the picture stands on the wire and the yard has answered.
  bool settle(std::size_t beat, Agreement& agreement) {
    constexpr Duration kPoll = std::chrono::milliseconds{10};
    constexpr int kMostPolls = 300;
    const std::uint64_t before = agreement.agreed() + agreement.differed();
    bool seen = false;
    for (int poll = 0; poll < kMostPolls; ++poll) {
      if (signals_.wait(kPoll) == io::Signals::Woke::kSignal) return false;
      const io::Live& live = session_.live();
      const engine::Status::Lit& lit = live.status.props[prop_];
      // The first picture fades in; a later one is there at once.
      const bool faded = live.status.at >= faded_at(live, beat);
      if (!lit.lit || lit.beat != beat || !faded) continue;
      seen = true;
      agreement.observe(live.status.sent.prop(prop_), session_.shown(prop_), io::now());
      if (agreement.agreed() + agreement.differed() > before) return true;
    }
    // A picture that equals the one before counts with it; one that never came is missing.
    if (!seen) ++missing_;
    return true;
  }

  base::Instant faded_at(const io::Live& live, std::size_t beat) {
    if (live.status.look != look_) {
      look_ = live.status.look;
      faded_at_ = live.status.at + std::chrono::milliseconds{400};
    }
    return beat == 0 ? faded_at_ : base::Instant{};
  }

  void show(const std::vector<light::Colour>& shown) const {
    for (const std::string& line : draw(session_.plan().props[prop_]->frame, shown,
                                        {.colour = console_.colour, .columns = console_.columns})) {
      console_.out << "  " << line << '\n';
    }
  }

  io::Session& session_;
  std::size_t prop_;
  io::Signals& signals_;
  Console& console_;
  std::uint64_t look_ = 0;
  base::Instant faded_at_{};
  std::uint64_t agreed_ = 0, differed_ = 0, missing_ = 0;
};

}  // namespace

Exit demo(const DemoAsked& asked, Console& console) {
  const auto site = load_site(asked.site, console);
  if (!site) return kFaultyInput;
  const auto prop = find_prop(*site->plan, asked.prop, console);
  if (!prop) return kUsage;
  auto faults = read_faults(site->plan, asked.faults, console);
  if (!faults) return kUsage;
  io::Signals signals;
  auto running = start_session(site->plan, io::Session::To::kPractice, console, std::move(*faults));
  if (!running) return kFailed;
  io::Session* const session = running->session.get();
  const engine::PlannedProp& lit = *site->plan->props[*prop];
  console.out << "The site " << site->plan->site
              << " in the practice yard: real packets to receivers "
              << "on this machine,\nwhich light simulated props; nothing goes to the network.\n"
              << faults_asked(asked.faults) << lit.name
              << (lit.about.empty() ? "" : ": " + lit.about) << ", " << lit.map.size()
              << " pixels. "
              << "FRONT, as seen from the street.\n";
  DemoWalk walk{*session, *prop, signals, console};
  for (const char* pattern : kWalked) {
    if (!walk.walk(pattern)) return kFailed;
  }
  const bool right = walk.differed() == 0 && walk.agreed() > 0;
  console.out << "\nVerdict: "
              << (right ? "every pixel lit where the map says, in all " +
                              std::to_string(walk.agreed()) + " pictures."
                        : std::to_string(walk.differed()) +
                              " pictures differed from the map or never came.")
              << '\n'
              << std::flush;
  if (!session->release()) return kFailed;
  if (asked.stay && (right || !asked.faults.empty())) {
    web::Serving serving{*session,
                         signals,
                         {.address = "127.0.0.1",
                          .port = asked.port,
                          .notes = {},
                          .site = std::make_shared<const site::Site>(*site)}};
    const auto door = serving.open();
    if (!door) {
      print(door.error(), console);
      return kFailed;
    }
    console.out << "\nThe daemon stays: " << door.value() << "  (Ctrl-C ends it)\n" << std::flush;
    static_cast<void>(serving.run());
    session->stop();
    serving.close();
  }
  session->stop();
  console.out << "Dark, and the streams are ended.\n" << std::flush;
  return right ? kDone : kFailed;
}

}  // namespace panewalk::cli
