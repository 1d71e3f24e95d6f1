#include <csignal>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/load_site.hpp"
#include "cli/running.hpp"
#include "io/signals.hpp"
#include "web/serving.hpp"

namespace panewalk::cli {
namespace {

std::vector<std::string> in_lines(const base::Problems& notes) {
  std::vector<std::string> lines;
  for (const base::Problem& note : notes) lines.push_back(base::to_line(note));
  return lines;
}

/// A new site on SIGHUP; with faults in it the old one goes on.
void reload(const std::string& path, io::Session& session, web::Serving& serving,
            Console& console) {
  auto site = site::load(path, files_on_disk());
  const base::Problems problems = site ? session.replace(site.value().plan) : site.error();
  print(problems, console);
  if (!problems.empty()) {
    console.err << "panewalk: " << path << " was not taken; the site from before goes on\n";
    return;
  }
  serving.set_notes(in_lines(site.value().notes));
  console.out << "panewalk: " << path << " was read again\n" << std::flush;
}

}  // namespace

Exit serve(const ServeAsked& asked, Console& console) {
  auto site = load_site(asked.site, console);
  if (!site) return kFaultyInput;
  io::Signals signals;
  auto running = start_session(
      site->plan, asked.practice ? io::Session::To::kPractice : io::Session::To::kNetwork, console);
  if (!running) return kFailed;
  io::Session* const session = running->session.get();
  web::Serving serving{
      *session,
      signals,
      {.address = asked.address, .port = asked.port, .notes = in_lines(site->notes)}};
  const auto door = serving.open();
  if (!door) {
    print(door.error(), console);
    return kFailed;
  }
  console.out << "panewalk serves " << site->plan->site << " at " << door.value() << '\n';
  if (asked.practice) {
    console.out << "Practice: to built-in receivers on this machine, nothing to the network.\n";
  } else {
    console.out << kCautions;
  }
  console.out << "Nothing is sent until light is asked for. Ctrl-C: dark, and end.\n" << std::flush;
  // A terminal that goes away ends it dark; without one, SIGHUP reads the site again.
  while (true) {
    const int signal = serving.run();
    if (signal == SIGHUP && !console.has_terminal) {
      reload(asked.site, *session, serving, console);
      continue;
    }
    break;
  }
  session->stop();
  serving.close();
  console.out << "Dark, and the streams are ended.\n" << std::flush;
  return kDone;
}

}  // namespace panewalk::cli
