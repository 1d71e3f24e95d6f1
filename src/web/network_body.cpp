#include "web/network_body.hpp"

#include <nlohmann/json.hpp>
#include <set>

#include "io/error_words.hpp"
#include "packet/address.hpp"
#include "scan/json.hpp"
#include "scan/site_universes.hpp"
#include "web/api.hpp"
#include "web/stream_state.hpp"

namespace panewalk::web {
namespace {

// Keeps the order in which fields are given.
using Json = nlohmann::ordered_json;

std::string text_of(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

/// By which card packets to the controller leave, and from which address.
Json way_json(const View& view, const patch::ControllerDescription& controller,
              const std::set<std::uint16_t>& universes) {
  if (!view.way_to) return nullptr;
  io::Host host = controller.address.host;
  if (controller.address.multicast) {
    if (universes.empty()) return nullptr;
    host = packet::multicast_group(packet::Universe::from(*universes.begin()).value());
  }
  const auto way = view.way_to(host, controller.interface);
  Json json = {{"card", nullptr},
               {"from", nullptr},
               {"chosen_by", controller.interface ? "site" : "system"},
               {"text", nullptr}};
  if (!way) {
    std::string text{io::in_words(way.error())};
    const std::string_view remedy = io::remedy_for(way.error());
    if (!remedy.empty()) (text += "; ") += remedy;
    json["text"] = std::move(text);
    return json;
  }
  if (!way.value().card.empty()) json["card"] = way.value().card;
  json["from"] = io::to_text(way.value().address);
  return json;
}

bool is_about_answering(scan::Kind kind) {
  switch (kind) {
    case scan::Kind::kAnswers:
    case scan::Kind::kRefuses:
    case scan::Kind::kUnreachable:
    case scan::Kind::kSilent:
    case scan::Kind::kStopped:
    case scan::Kind::kNotAsked:
    case scan::Kind::kHere: return true;
    default: return false;
  }
}

Json answer_json(const View& view, const std::string& controller) {
  if (view.network == nullptr) return nullptr;
  for (const scan::Finding& finding : view.network->findings) {
    if (finding.controller == controller && is_about_answering(finding.kind)) {
      return scan::to_text(finding.kind);
    }
  }
  return nullptr;
}

Json controller_json(const View& view, std::size_t index,
                     const std::set<std::uint16_t>& universes) {
  const patch::ControllerDescription& controller = view.plan->controllers[index];
  ControllerState state = controller_state(view, index);
  Json text = nullptr;
  if (state.text) text = std::move(*state.text);
  return {{"name", controller.name},
          {"protocol", patch::to_text(controller.protocol)},
          {"address", address_text(controller)},
          {"universes", universes},
          {"way", way_json(view, controller, universes)},
          {"state", state.state},
          {"errors", state.errors},
          {"text", std::move(text)},
          {"answer", answer_json(view, controller.name)}};
}

Json stream_json(const io::Live& live) {
  Json frames = Json::array();
  for (const LateStep& step : late_steps(live.lateness)) {
    Json up_to = nullptr;
    if (step.up_to_ms) up_to = *step.up_to_ms;
    frames.push_back({{"up_to_ms", std::move(up_to)}, {"frames", step.frames}});
  }
  return {{"frames", live.status.frames},
          {"missed_frames", live.missed},
          {"packets", live.errors.packets},
          {"dropped_packets", live.errors.dropped},
          {"late", {{"most_ms", in_milliseconds(live.latest)}, {"frames", std::move(frames)}}},
          {"priority", io::to_text(live.granted)}};
}

/// Why nothing is seen.
Json why_json(const View& view) {
  if (view.network != nullptr) return nullptr;
  if (view.shown != nullptr) {
    return "practice: nothing goes to the network, and nothing is listened to";
  }
  return "nothing has been listened to yet; ask again in a few seconds";
}

}  // namespace

std::string network_body(const View& view) {
  Json controllers = Json::array();
  for (const scan::SiteUniverses& site : scan::universes_of(*view.plan)) {
    controllers.push_back(controller_json(view, site.controller, site.numbers));
  }
  std::string body = text_of({{"practice", view.shown != nullptr},
                              {"troubles", network_troubles(view)},
                              {"controllers", std::move(controllers)},
                              {"stream", stream_json(*view.live)},
                              {"why", why_json(view)}});
  body.pop_back();
  body += ",\"seen\":";
  if (view.network == nullptr) return body + "null}\n";
  body += scan::as_json(view.network->report, view.network->findings);
  body.back() = '}';
  return body + '\n';
}

}  // namespace panewalk::web
