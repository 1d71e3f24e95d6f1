#include <csignal>

#include "cli/commands.hpp"
#include "cli/correct_file.hpp"
#include "cli/faults.hpp"
#include "cli/load_site.hpp"
#include "cli/log.hpp"
#include "cli/qr.hpp"
#include "cli/running.hpp"
#include "io/clock.hpp"
#include "io/network_watch.hpp"
#include "io/service_manager.hpp"
#include "io/signals.hpp"
#include "io/state_folder.hpp"
#include "logbook/logbook.hpp"
#include "web/serving.hpp"

namespace panewalk::cli {
namespace {

/// So often between two signs of life that the manager waits for; two may be late.
constexpr int kSignsInTime = 3;

/// The most that a bad disk may take to give what can be read of a damaged logbook.
constexpr base::Duration kRecovery = std::chrono::minutes{30};

std::vector<std::string> in_lines(const base::Problems& notes) {
  std::vector<std::string> lines;
  for (const base::Problem& note : notes) lines.push_back(base::to_line(note));
  return lines;
}

/// What a service manager shows of us.
std::string status_of(const engine::Plan& plan) {
  return "serves " + plan.site + ", " + std::to_string(plan.props.size()) +
         (plan.props.size() == 1 ? " prop" : " props");
}

/// A new site on SIGHUP or after a correction; with faults in it the old one goes on.
base::Problems reload(const std::string& path, io::Session& session, web::Serving& serving,
                      Log& log) {
  auto site = site::load(path, files_on_disk());
  base::Problems problems = site ? session.replace(site.value().plan) : site.error();
  log.say(LogLevel::kWarning, problems);
  if (!problems.empty()) {
    log.say_briefly(LogLevel::kWarning, path + " was not taken; the site from before goes on");
    return problems;
  }
  const auto taken = std::make_shared<const site::Site>(std::move(site).value());
  serving.site_was_read(taken, in_lines(taken->notes));
  log.say_briefly(LogLevel::kNotice, path + " was read again");
  return {};
}

/// Black on white by the fixed colours 16 and 231 of the 256, whatever the terminal's own are: a
/// camera needs them, so NO_COLOR does not count here.
std::string drawn_code(const std::string& link, const Console& console) {
  const std::vector<std::string> blocks = qr_in_blocks(link);
  const std::size_t columns = qr_columns(blocks);
  std::string lines;
  if (!console.out_is_terminal || columns == 0 ||
      columns > static_cast<std::size_t>(console.columns)) {
    return lines;
  }
  for (const std::string& line : blocks) {
    lines += "\x1b[38;5;16;48;5;231m" + line + "\x1b[0m\n";
  }
  return lines;
}

std::string invited_by(const web::Invitation& invitation, const Console& console) {
  return drawn_code(invitation.link, console) + "Join code: " + invitation.code + "  (or open " +
         invitation.link +
         ")\n"
         "Everybody with the code can switch the lights. It is plain HTTP: others on the same "
         "network\ncan read along and take over a session. Only for a network you trust; "
         "never let the\ninternet reach it.\n";
}

base::Result<std::unique_ptr<logbook::Logbook>> open_logbook(const io::ServiceManager& manager,
                                                             Log& log) {
  auto folder = io::state_folder(io::StatePlaces::from_environment());
  if (!folder) return std::move(folder).error();
  return logbook::Logbook::open(logbook::path_in(folder.value()), logbook::Access::kWrite,
                                [&](const base::Problem& damage) {
                                  manager.needs(kRecovery);
                                  log.say(LogLevel::kWarning, base::Problems{damage});
                                });
}

/// Null where it can't be: the lights are worth having without it.
std::unique_ptr<io::NetworkWatch> watch_network(std::shared_ptr<const engine::Plan> plan,
                                                const packet::Cid& cid, Log& log) {
  auto watch = io::NetworkWatch::start(std::move(plan), cid);
  if (watch) return std::move(watch).value();
  log.say(LogLevel::kError, watch.error());
  log.say_briefly(LogLevel::kError, "nobody listens for others on the network");
  return nullptr;
}

/// What is said once, when all stands.
void greet(const ServeAsked& asked, const engine::Plan& plan, const std::string& link,
           const std::optional<web::Invitation>& invitation, const Console& console, Log& log) {
  log.say(LogLevel::kNotice, "panewalk serves " + plan.site + " at " + link + "\n");
  if (invitation) log.say(LogLevel::kInfo, invited_by(*invitation, console));
  if (asked.practice) {
    log.say(LogLevel::kInfo,
            "Practice: to built-in receivers on this machine, nothing to the network.\n" +
                faults_asked(asked.faults));
  } else {
    log.say(LogLevel::kInfo,
            ways_out(plan) + kCautions +
                "It listens to who else is on the network, and asks by ArtPoll and ping.\n");
  }
  log.say(LogLevel::kInfo, "No light is sent until it is asked for. Ctrl-C: dark, and end.\n");
}

/// Signs of life only while the light has a thread that goes on; the loop that calls this is the
/// other half.
void keep_alive(const io::ServiceManager& manager, io::Session& session, web::Serving& serving) {
  if (!manager.watchdog()) return;
  serving.keep(*manager.watchdog() / kSignsInTime, [&manager, &session] {
    if (session.has_moved()) manager.is_alive();
  });
}

}  // namespace

Exit serve(const ServeAsked& asked, Console& console) {
  auto site = load_site(asked.site, console);
  if (!site) return kFaultyInput;
  auto faults = read_faults(site->plan, asked.faults, console);
  if (!faults) return kUsage;
  const io::ServiceManager manager{io::ServicePlaces::from_environment()};
  Log log{console, io::now};
  io::Signals signals;
  auto running = start_session(
      site->plan, asked.practice ? io::Session::To::kPractice : io::Session::To::kNetwork, console,
      std::move(*faults));
  if (!running) return kFailed;
  io::Session* const session = running->session.get();
  const auto book = open_logbook(manager, log);
  web::ServerOptions options{
      .address = asked.address, .port = asked.port, .notes = in_lines(site->notes)};
  if (book) {
    log.say(LogLevel::kWarning, book.value()->notes());
    options.logbook = book.value().get();
  } else {
    // The lights are worth having without it; answers are refused, and say why.
    log.say(LogLevel::kError, book.error());
    log.say_briefly(LogLevel::kError,
                    "no logbook is kept: bench checks, yard walks and searches can't be answered");
    options.no_logbook = book.error();
  }
  options.site = std::make_shared<const site::Site>(*site);
  std::unique_ptr<io::NetworkWatch> watch;
  if (!asked.practice) {
    watch = watch_network(site->plan, running->cid, log);
    options.network_watch = watch.get();
    options.log = [&log](const web::DiaryLine& line) { log.say_trouble(line.over, line.text); };
  }
  web::Serving* server = nullptr;
  const auto read_again = [&] {
    manager.is_reloading();
    base::Problems problems = reload(asked.site, *session, *server, log);
    manager.is_ready(status_of(session->plan()));
    return problems;
  };
  options.accept = [&](const site::Correction& correction) -> std::optional<check::Refusal> {
    if (auto refused = correct_file(correction)) return refused;
    log.say_briefly(LogLevel::kNotice, correction.file + " was corrected from the page");
    base::Problems problems = read_again();
    if (problems.empty()) return std::nullopt;
    return check::Refusal{.problems = std::move(problems)};
  };
  web::Serving serving{*session, signals, std::move(options)};
  server = &serving;
  const auto door = serving.open();
  if (!door) {
    log.say(LogLevel::kError, door.error());
    return kFailed;
  }
  greet(asked, *site->plan, door.value(), serving.invitation(), console, log);
  keep_alive(manager, *session, serving);
  manager.is_ready(status_of(*site->plan));
  // A terminal that goes away ends it dark; without one, SIGHUP reads the site again.
  while (serving.run() == SIGHUP && !console.has_terminal) static_cast<void>(read_again());
  manager.is_stopping();
  session->stop();
  serving.close();
  log.say(LogLevel::kNotice, "Dark, and the streams are ended.\n");
  return kDone;
}

}  // namespace panewalk::cli
