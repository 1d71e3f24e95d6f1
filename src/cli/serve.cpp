#include <csignal>
#include <ostream>

#include "cli/commands.hpp"
#include "cli/correct_file.hpp"
#include "cli/faults.hpp"
#include "cli/load_site.hpp"
#include "cli/qr.hpp"
#include "cli/running.hpp"
#include "io/network_watch.hpp"
#include "io/signals.hpp"
#include "io/state_folder.hpp"
#include "logbook/logbook.hpp"
#include "web/serving.hpp"

namespace panewalk::cli {
namespace {

std::vector<std::string> in_lines(const base::Problems& notes) {
  std::vector<std::string> lines;
  for (const base::Problem& note : notes) lines.push_back(base::to_line(note));
  return lines;
}

/// A new site on SIGHUP or after a correction; with faults in it the old one goes on.
base::Problems reload(const std::string& path, io::Session& session, web::Serving& serving,
                      Console& console) {
  auto site = site::load(path, files_on_disk());
  base::Problems problems = site ? session.replace(site.value().plan) : site.error();
  print(problems, console);
  if (!problems.empty()) {
    console.err << "panewalk: " << path << " was not taken; the site from before goes on\n";
    return problems;
  }
  const auto taken = std::make_shared<const site::Site>(std::move(site).value());
  serving.site_was_read(taken, in_lines(taken->notes));
  console.out << "panewalk: " << path << " was read again\n" << std::flush;
  return {};
}

/// Black on white by the fixed colours 16 and 231 of the 256, whatever the terminal's own are: a
/// camera needs them, so NO_COLOR does not count here.
void draw_code(const std::string& link, Console& console) {
  const std::vector<std::string> blocks = qr_in_blocks(link);
  const std::size_t columns = qr_columns(blocks);
  if (!console.out_is_terminal || columns == 0 ||
      columns > static_cast<std::size_t>(console.columns)) {
    return;
  }
  for (const std::string& line : blocks) {
    console.out << "\x1b[38;5;16;48;5;231m" << line << "\x1b[0m\n";
  }
}

void invite(const web::Invitation& invitation, Console& console) {
  draw_code(invitation.link, console);
  console.out
      << "Join code: " << invitation.code << "  (or open " << invitation.link << ")\n"
      << "Everybody with the code can switch the lights. It is plain HTTP: others on the same "
         "network\ncan read along and take over a session. Only for a network you trust; "
         "never let the\ninternet reach it.\n";
}

base::Result<std::unique_ptr<logbook::Logbook>> open_logbook() {
  auto folder = io::state_folder(io::StatePlaces::from_environment());
  if (!folder) return std::move(folder).error();
  return logbook::Logbook::open(logbook::path_in(folder.value()));
}

/// Null where it can't be: the lights are worth having without it.
std::unique_ptr<io::NetworkWatch> watch_network(std::shared_ptr<const engine::Plan> plan,
                                                const packet::Cid& cid, Console& console) {
  auto watch = io::NetworkWatch::start(std::move(plan), cid);
  if (watch) return std::move(watch).value();
  print(watch.error(), console);
  console.err << "panewalk: nobody listens for others on the network\n";
  return nullptr;
}

}  // namespace

Exit serve(const ServeAsked& asked, Console& console) {
  auto site = load_site(asked.site, console);
  if (!site) return kFaultyInput;
  auto faults = read_faults(site->plan, asked.faults, console);
  if (!faults) return kUsage;
  io::Signals signals;
  auto running = start_session(
      site->plan, asked.practice ? io::Session::To::kPractice : io::Session::To::kNetwork, console,
      std::move(*faults));
  if (!running) return kFailed;
  io::Session* const session = running->session.get();
  const auto book = open_logbook();
  web::ServerOptions options{
      .address = asked.address, .port = asked.port, .notes = in_lines(site->notes)};
  if (book) {
    options.logbook = book.value().get();
  } else {
    // The lights are worth having without it; answers are refused, and say why.
    print(book.error(), console);
    console.err << "panewalk: no logbook is kept: bench checks and yard walks can't be answered\n";
    options.no_logbook = book.error();
  }
  options.site = std::make_shared<const site::Site>(*site);
  std::unique_ptr<io::NetworkWatch> watch;
  if (!asked.practice) {
    watch = watch_network(site->plan, running->cid, console);
    options.network_watch = watch.get();
    options.log = [&console](const std::string& line) {
      console.err << "panewalk: " << line << '\n' << std::flush;
    };
  }
  web::Serving* server = nullptr;
  options.accept = [&](const site::Correction& correction) -> std::optional<check::Refusal> {
    if (auto refused = correct_file(correction)) return refused;
    console.out << "panewalk: " << correction.file << " was corrected from the page\n";
    base::Problems problems = reload(asked.site, *session, *server, console);
    if (problems.empty()) return std::nullopt;
    return check::Refusal{.problems = std::move(problems)};
  };
  web::Serving serving{*session, signals, std::move(options)};
  server = &serving;
  const auto door = serving.open();
  if (!door) {
    print(door.error(), console);
    return kFailed;
  }
  console.out << "panewalk serves " << site->plan->site << " at " << door.value() << '\n';
  if (serving.invitation()) invite(*serving.invitation(), console);
  if (asked.practice) {
    console.out << "Practice: to built-in receivers on this machine, nothing to the network.\n"
                << faults_asked(asked.faults);
  } else {
    console.out << ways_out(*site->plan) << kCautions
                << "It listens to who else is on the network, and asks by ArtPoll and ping.\n";
  }
  console.out << "No light is sent until it is asked for. Ctrl-C: dark, and end.\n" << std::flush;
  // A terminal that goes away ends it dark; without one, SIGHUP reads the site again.
  while (true) {
    const int signal = serving.run();
    if (signal == SIGHUP && !console.has_terminal) {
      static_cast<void>(reload(asked.site, *session, serving, console));
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
