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
#include "io/patient_output.hpp"
#include "io/signals.hpp"

namespace panewalk::cli {
namespace {

using base::Duration;
using base::Instant;

constexpr Duration kRedraw = std::chrono::milliseconds{50};
/// Fewer would draw a prop that nobody recognises.
constexpr int kLeastRows = 5;

/// Shows one prop while it is lit.
class Watching {
 public:
  Watching(io::Session& session, std::size_t prop, Console& console)
      : session_{session},
        prop_{prop},
        console_{console},
        agreement_{*session.plan().props[prop]} {}

  void look(Instant now, Duration since) {
    const io::Live& live = session_.live();
    const engine::PlannedProp& prop = *session_.plan().props[prop_];
    const auto sent = live.status.sent.prop(prop_);
    std::vector<light::Colour> shown = session_.shown(prop_);
    if (session_.practising()) {
      if (live.status.mode == engine::Mode::kLit) agreement_.observe(sent, shown, now);
    } else {
      shown.assign(prop.frame.stations().size(), light::kBlack);
      for (std::size_t i = 0; i < sent.size(); ++i) {
        shown[prop.map.station_of(base::PixelIndex::of(i + 1)).value()] = sent[i];
      }
    }
    if (live.status.mode != engine::Mode::kLit || !live.status.props[prop_].lit) return;
    if (console_.out_is_terminal) {
      redraw(live, prop, shown, since);
    } else {
      print_change(live, prop, shown);
    }
  }

  [[nodiscard]] const Agreement& agreement() const { return agreement_; }
  /// Whether the prop's own controller is failing now.
  [[nodiscard]] bool unheard() {
    const std::size_t own = session_.plan().patch.props[prop_].controller();
    const auto failing = session_.live().errors.failing.listed();
    return std::any_of(failing.begin(), failing.end(),
                       [own](const auto& one) { return one.controller == own; });
  }
  void finish() {
    if (lines_drawn_ > 0) console_.out << '\n';
  }

 private:
  [[nodiscard]] std::string progress(const io::Live& live) const {
    const engine::Look& look = *session_.look();
    std::string text = look.pattern + ": " + caption(look.lit.front(), live.status.props[prop_]);
    if (live.status.props[prop_].waits) {
      text += ", waits for you";
    } else if (live.status.by_hand) {
      text += ", held by you";
    }
    return text;
  }

  void redraw(const io::Live& live, const engine::PlannedProp& prop,
              const std::vector<light::Colour>& shown, Duration since) {
    const auto seconds = std::chrono::duration_cast<std::chrono::seconds>(since).count();
    std::vector<std::string> below{
        progress(live) + "  " + std::to_string(seconds) + " s" +
        (console_.in_is_terminal ? "  Enter: next picture, Ctrl-C: dark" : "")};
    for (std::string& trouble : troubles(live, session_.plan()))
      below.push_back(std::move(trouble));
    // What is drawn over must be exactly as many rows as was drawn: long lines are cut, and the
    // prop gets what is left of the screen.
    constexpr int kIndent = 2;
    const int room = console_.rows - static_cast<int>(below.size()) - 2;
    std::vector<std::string> lines;
    if (room >= kLeastRows) {
      lines = draw(prop.frame, shown,
                   {.colour = console_.colour, .columns = console_.columns, .rows = room});
      lines.emplace_back();
    }
    for (const std::string& line : below)
      lines.push_back(cut(line, console_.columns - kIndent - 1));
    if (lines_drawn_ > 0) console_.out << "\x1b[" << lines_drawn_ << 'A';
    for (const std::string& line : lines) console_.out << "\r  " << line << "\x1b[K\n";
    console_.out << "\x1b[J" << std::flush;
    lines_drawn_ = lines.size();
  }

  /// Where no terminal can be drawn over: the picture once, then a line for each that follows.
  void print_change(const io::Live& live, const engine::PlannedProp& prop,
                    const std::vector<light::Colour>& shown) {
    std::vector<std::string> now_troubled = troubles(live, session_.plan());
    for (const std::string& trouble : now_troubled) {
      if (std::find(told_.begin(), told_.end(), trouble) != told_.end()) continue;
      told_.push_back(trouble);
      console_.out << trouble << '\n';
    }
    const std::string now = progress(live);
    const bool settled = std::any_of(shown.begin(), shown.end(),
                                     [](light::Colour colour) { return !colour.dark(); });
    if (!drawn_ && settled) {
      drawn_ = true;
      for (const std::string& line : draw(prop.frame, shown, {.columns = console_.columns})) {
        console_.out << "  " << line << '\n';
      }
    }
    if (now == last_progress_) return;
    last_progress_ = now;
    console_.out << now << '\n' << std::flush;
  }

  io::Session& session_;
  std::size_t prop_;
  Console& console_;
  Agreement agreement_;
  std::size_t lines_drawn_ = 0;
  bool drawn_ = false;
  std::string last_progress_;
  std::vector<std::string> told_;
};

void print_head(const engine::Plan& plan, std::size_t prop, const engine::Look& look,
                const LightAsked& asked, Console& console) {
  const pattern::PatternDescription& pattern = *plan.find_pattern(asked.pattern);
  const engine::PlannedProp& lit = *plan.props[prop];
  const patch::ControllerDescription& controller =
      plan.controllers[plan.patch.props[prop].controller()];
  console.out << lit.name << (lit.about.empty() ? "" : ": " + lit.about) << '\n'
              << pattern.name << ": " << pattern.purpose << '\n'
              << wrapped("Look for: " + pattern.look_for, console.columns) << '\n';
  if (asked.practice) {
    console.out << "Practice: to built-in receivers on this machine, nothing to the network.\n"
                << faults_asked(asked.faults);
  } else {
    console.out << "Sent to " << controller.name << " by " << patch::to_text(controller.protocol)
                << "; the other props of the site are kept black.\n"
                << ways_out(plan) << kCautions;
  }
  const auto percent = [](light::Level level) {
    return std::to_string(static_cast<int>(level.share() * 100 + 0.5)) + " %";
  };
  if (look.lit.front().level < look.asked) {
    console.out << "Level " << percent(look.lit.front().level) << ", the prop's cap ("
                << percent(look.asked) << " was asked).\n";
  }
  for (const std::string& note : look.notes)
    console.out << wrapped("Note: " + note, console.columns) << '\n';
  console.out << "FRONT, as seen from the street:\n" << std::flush;
}

/// The request's places in the words of the command line.
base::Problems as_typed(base::Problems problems) {
  for (base::Problem& problem : problems) {
    problem.where = problem.where == "/region" ? "--region" : "";
  }
  return problems;
}

}  // namespace

Exit light(const LightAsked& asked, Console& given) {
  io::Signals signals;
  // A terminal that takes no more must not keep us from going dark.
  io::PatientOutput output{signals};
  std::ostream out{&output};
  Console console = given.by_way_of(out);
  const auto site = load_site(asked.site, console);
  if (!site) return kFaultyInput;
  const auto prop = find_prop(*site->plan, asked.prop, console);
  if (!prop) return kUsage;
  auto look = engine::compose(*site->plan, {.props = {asked.prop},
                                            .pattern = asked.pattern,
                                            .level = asked.level,
                                            .region = asked.region});
  if (!look) {
    print(as_typed(std::move(look).error()), console);
    return kUsage;
  }
  auto faults = read_faults(site->plan, asked.faults, console);
  if (!faults) return kUsage;
  auto running = start_session(
      site->plan, asked.practice ? io::Session::To::kPractice : io::Session::To::kNetwork, console,
      std::move(*faults));
  if (!running) return kFailed;
  io::Session* const session = running->session.get();
  print_head(*site->plan, *prop, look.value(), asked, console);
  if (!session->light(std::move(look).value())) return kFailed;

  Watching watching{*session, *prop, console};
  const Instant start = io::now();
  bool stopped = false;
  bool listen = console.in_is_terminal;
  while (!stopped && console.out) {
    const Instant now = io::now();
    if (asked.time && now - start >= *asked.time) break;
    watching.look(now, now - start);
    switch (signals.wait(kRedraw, listen)) {
      case io::Signals::Woke::kSignal: stopped = true; break;
      case io::Signals::Woke::kInput: {
        const std::optional<int> presses = io::Signals::lines_of_input();
        listen = presses.has_value();
        for (int i = 0; i < presses.value_or(0); ++i) {
          static_cast<void>(session->step(engine::StepAsked::kNext));
        }
        break;
      }
      case io::Signals::Woke::kTimeout: break;
    }
  }
  watching.finish();
  const bool unheard = watching.unheard();
  session->stop();
  console.out << "Dark, and the streams are ended.\n" << std::flush;
  if (unheard) {
    console.err << "panewalk: the packets did not reach the controller of " << asked.prop << '\n';
    return kFailed;
  }
  if (!asked.practice) return kDone;
  console.out << "Practice: " << watching.agreement().verdict() << ".\n" << std::flush;
  return watching.agreement().differed() == 0 ? kDone : kFailed;
}

}  // namespace panewalk::cli
