#include <ostream>

#include "cli/commands.hpp"
#include "cli/faults.hpp"
#include "cli/find_correction.hpp"
#include "cli/find_json.hpp"
#include "cli/find_light.hpp"
#include "cli/find_search.hpp"
#include "cli/find_text.hpp"
#include "cli/load_site.hpp"
#include "cli/running.hpp"
#include "find/words.hpp"
#include "io/patient_output.hpp"
#include "io/signals.hpp"
#include "site/prop_loader.hpp"
#include "wiring/route_writer.hpp"

namespace panewalk::cli {
namespace {

/// For another program: a line for each question, and the finding.
class FindDialogue {
 public:
  FindDialogue(FindSearch& search, FindLight& light, Listening& listening, Console& console)
      : search_{search}, light_{light}, listening_{listening}, console_{console} {}

  /// False where no finding was reached.
  bool search() {
    const find::Finder& finder = search_.finder();
    while (!finder.done()) {
      light_.ask(finder.question());
      const std::string line =
          question_line(search_.subject(), finder.question(), finder.number(), light_.frames());
      const auto seen = answer_to(line);
      if (!seen) return false;
      search_.answer(*seen);
    }
    const find::Finding finding = finder.finding();
    say(finding_line(search_.subject(), finding,
                     find::words_for(search_.subject(), finding, finder.conditions().bright)));
    return console_.out.good();
  }

 private:
  void say(const std::string& line) { console_.out << line << '\n' << std::flush; }

  std::optional<find::Sighting> answer_to(const std::string& question) {
    say(question);
    while (console_.out) {
      const Listening::Heard heard = listening_.wait(std::chrono::minutes{1});
      if (heard == Listening::Heard::kTimeout) continue;
      if (heard == Listening::Heard::kEnd) return std::nullopt;
      const auto said = read_answer_line(listening_.line());
      if (said) {
        const auto seen =
            find::read_answer(search_.subject(), search_.finder().question(), said.value());
        if (seen) return seen.value();
        print({seen.error()}, console_);
      } else {
        print(said.error(), console_);
      }
      say(question);
    }
    return std::nullopt;
  }

  FindSearch& search_;
  FindLight& light_;
  Listening& listening_;
  Console& console_;
};

void print_head(const engine::Plan& plan, std::size_t prop, const FindAsked& asked,
                Console& console) {
  const engine::PlannedProp& of = *plan.props[prop];
  const patch::ControllerDescription& controller =
      plan.controllers[plan.patch.props[prop].controller()];
  console.out << of.name << (of.about.empty() ? "" : ": " + of.about) << '\n';
  if (asked.practice) {
    console.out << "Practice: to built-in receivers on this machine, nothing to the network.\n"
                << faults_asked(asked.faults);
  } else {
    console.out << "Sent to " << controller.name << " by " << patch::to_text(controller.protocol)
                << "; the other props of the site are kept black.\n"
                << ways_out(plan);
  }
}

/// As the file says it; as it was found where the file asks for that.
std::vector<std::string> route_of(const site::Site& site, const std::string& path,
                                  std::size_t prop) {
  const engine::PlannedProp& of = *site.plan->props[prop];
  const std::string file = site::folder_of(path) + site.file.props[prop].file;
  for (const site::Site::PropText& text : site.prop_files) {
    if (text.path == file && !text.file.wiring.fewest_splices) return text.file.wiring.route;
  }
  std::vector<base::StationIndex> order;
  for (std::size_t i = 1; i <= of.map.size(); ++i) {
    order.push_back(of.map.station_of(base::PixelIndex::of(i)));
  }
  return wiring::write_route(of.frame, order);
}

Exit talk(const site::Site& site, std::size_t prop, const FindAsked& asked, io::Session& session,
          io::Signals& signals, Console& console) {
  Listening listening{signals};
  FindLight light{session, site.plan, prop, listening};
  if (!asked.as_json) print_head(*site.plan, prop, asked, console);
  FindSearch search{site, prop, asked, console};
  const std::vector<std::string> route = route_of(site, asked.site, prop);
  const bool found = asked.as_json ? FindDialogue{search, light, listening, console}.search()
                                   : FindTalk{search, light, listening, route, console}.search();
  session.stop();
  if (!asked.as_json) {
    console.out << "Dark, and the streams are ended.\n";
    if (!found && search.recorded()) {
      console.out << "The search is left open; the same command goes on with it.\n";
    }
    console.out << std::flush;
  }
  if (!found) return kFailed;
  const find::Finding finding = search.finder().finding();
  if (!asked.as_json) {
    const auto words =
        find::words_for(search.subject(), finding, search.finder().conditions().bright);
    console.out << '\n' << finding_as_text(finding, words, console.columns) << std::flush;
  }
  const bool done = offer_correction(site, prop, finding, asked, listening, console);
  return done && console.out ? kDone : kFailed;
}

}  // namespace

Exit find(const FindAsked& asked, Console& console) {
  io::Signals signals;
  using Waits = io::PatientOutput::Waits;
  io::PatientOutput output{signals, asked.as_json ? Waits::kUntilSignal : Waits::kALittle};
  std::ostream out{&output};
  Console patient = console.by_way_of(out);
  const auto site = load_site(asked.site, patient);
  if (!site) return kFaultyInput;
  const auto prop = find_prop(*site->plan, asked.prop, patient);
  if (!prop) return kUsage;
  auto faults = read_faults(site->plan, asked.faults, patient);
  if (!faults) return kUsage;
  auto running = start_session(
      site->plan, asked.practice ? io::Session::To::kPractice : io::Session::To::kNetwork, patient,
      std::move(*faults));
  if (!running) return kFailed;
  return talk(*site, *prop, asked, *running->session, signals, patient);
}

}  // namespace panewalk::cli
