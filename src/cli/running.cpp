#include "cli/running.hpp"

#include <array>
#include <cstdio>

#include "cli/load_site.hpp"
#include "io/error_words.hpp"
#include "io/state_folder.hpp"

namespace panewalk::cli {
namespace {

std::string amps(base::Amps current) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%.1f A", current.value());
  return text.data();
}

std::string volts(base::Volts voltage) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%.1f V", voltage.value());
  return text.data();
}

}  // namespace

std::optional<Running> start_session(std::shared_ptr<const engine::Plan> plan, io::Session::To to,
                                     Console& console, std::vector<io::PracticeFault> faults) {
  const auto folder = io::state_folder(io::StatePlaces::from_environment());
  if (!folder) {
    print(folder.error(), console);
    return std::nullopt;
  }
  auto held = io::hold_cid(folder.value());
  if (!held) {
    print(held.error(), console);
    return std::nullopt;
  }
  const packet::Cid cid = held.value().cid;
  const std::string name = "Panewalk " + plan->site;
  auto source_name = packet::SourceName::from(name.substr(0, packet::SourceName::kMost));
  if (!source_name) source_name = packet::SourceName::from("Panewalk");
  auto session = io::Session::start(
      std::move(plan),
      {.cid = held.value().cid, .source_name = std::move(source_name).value(), .reroute = {}}, to,
      std::move(faults));
  if (!session) {
    print(session.error(), console);
    return std::nullopt;
  }
  return Running{.identity = std::move(std::move(held).value().lock),
                 .session = std::move(session).value(),
                 .cid = cid};
}

std::vector<std::string> troubles(const io::Live& live, const engine::Plan& plan) {
  std::vector<std::string> all;
  if (live.status.held) {
    const light::Held& held = *live.status.held;
    const std::string what = held.prop ? plan.props[*held.prop]->name : "all lit props together";
    all.push_back("held back: " + what + " would flash " +
                  (held.reason == light::Held::Reason::kRedFlash ? "red " : "") +
                  "more often than 3 times a second");
  }
  for (std::size_t i = 0; i < live.status.supplies.size(); ++i) {
    const engine::SupplyStatus& supply = live.status.supplies[i];
    if (supply.low_volts) {
      const engine::LowVolts& low = *supply.low_volts;
      all.push_back("dimmed: pixel " + std::to_string(low.pixel.value()) + " of " +
                    plan.props[low.prop]->name + " would have " + volts(low.lowest) +
                    ", it needs " + volts(low.least));
    }
    if (supply.factor >= 1) continue;
    all.push_back("dimmed: the supply of " + plan.controllers[i].name + " gives " +
                  amps(supply.most) + ", this light would take " + amps(supply.asked));
  }
  for (const io::ErrorReport::Trouble& failing : live.errors.failing.listed()) {
    const std::string who = failing.controller
                                ? "controller " + plan.controllers[*failing.controller].name
                                : std::string{"universe discovery"};
    std::string sentence = who + ": " + std::string{io::in_words(failing.state.error)};
    const std::string_view remedy = io::remedy_for(failing.state.error);
    if (!remedy.empty()) sentence += "; " + std::string{remedy};
    all.push_back(std::move(sentence));
  }
  return all;
}

std::string caption(const engine::Look::Lit& lit, const engine::Status::Lit& playing) {
  pattern::Beat beat = lit.beat(playing.beat);
  beat.into = playing.into;
  const std::string shows = lit.caption(beat);
  if (shows.empty()) return "nothing to show";
  return shows + " (" + std::to_string(playing.beat + 1) + " of " + std::to_string(lit.beats()) +
         ")";
}

}  // namespace panewalk::cli
