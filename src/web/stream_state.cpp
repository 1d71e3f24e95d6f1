#include "web/stream_state.hpp"

#include <algorithm>
#include <cmath>

#include "io/error_words.hpp"
#include "io/socket_address.hpp"
#include "web/api.hpp"

namespace panewalk::web {
namespace {

std::string trouble_text(const io::ErrorReport::Trouble& trouble) {
  std::string text = io::to_text(trouble.host) + ':' + std::to_string(trouble.port) + ": ";
  text += io::in_words(trouble.state.error);
  const std::string_view remedy = io::remedy_for(trouble.state.error);
  if (!remedy.empty()) (text += "; ") += remedy;
  return text;
}

/// Something was found of the controller that is to be looked into.
bool is_found(const View& view, const std::string& controller) {
  const auto& findings = view.network->findings;
  return std::any_of(findings.begin(), findings.end(), [&controller](const scan::Finding& finding) {
    return finding.trouble && finding.controller == controller;
  });
}

}  // namespace

ControllerState controller_state(const View& view, std::size_t controller) {
  const bool sending = view.live->status.mode != engine::Mode::kSilent;
  ControllerState state{.state = sending ? "sending" : "silent"};
  const auto add = [&](const io::ErrorReport::List& list, std::string_view word) {
    for (const io::ErrorReport::Trouble& trouble : list.listed()) {
      if (trouble.controller != controller) continue;
      if (!state.text) {
        state.text = trouble_text(trouble);
        state.state = word;
      }
      state.errors += trouble.state.errors + trouble.state.dropped;
    }
  };
  add(view.live->errors.failing, "failing");
  add(view.live->errors.dropping, "dropping");
  return state;
}

std::string address_text(const patch::ControllerDescription& controller) {
  const patch::Address& address = controller.address;
  std::string text = address.multicast ? "multicast" : io::to_text(address.host);
  const std::uint16_t usual =
      controller.protocol == patch::Protocol::kE131 ? patch::kE131Port : patch::kArtNetPort;
  if (!address.multicast && address.port != usual) text += ':' + std::to_string(address.port);
  return text;
}

std::vector<LateStep> late_steps(const io::Lateness& lateness) {
  std::vector<LateStep> steps;
  for (std::size_t i = 0; i <= io::Lateness::kSteps.size(); ++i) {
    if (lateness.frames(i) == 0) continue;
    LateStep step{.up_to_ms = std::nullopt, .frames = lateness.frames(i)};
    if (i < io::Lateness::kSteps.size()) step.up_to_ms = in_milliseconds(io::Lateness::kSteps[i]);
    steps.push_back(step);
  }
  return steps;
}

double in_milliseconds(base::Duration duration) {
  // Keeps binary fractions out of the print.
  return std::round(std::chrono::duration<double, std::milli>(duration).count() * 1e3) / 1e3;
}

std::size_t network_troubles(const View& view) {
  std::size_t troubles = 0;
  if (view.network != nullptr) {
    const auto& findings = view.network->findings;
    troubles += static_cast<std::size_t>(
        std::count_if(findings.begin(), findings.end(),
                      [](const scan::Finding& finding) { return finding.trouble; }));
  }
  for (std::size_t i = 0; i < view.plan->controllers.size(); ++i) {
    if (!controller_state(view, i).text) continue;
    if (view.network == nullptr || !is_found(view, view.plan->controllers[i].name)) ++troubles;
  }
  return troubles;
}

}  // namespace panewalk::web
