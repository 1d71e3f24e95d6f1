#include <array>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>

#include "web/api.hpp"
#include "web/gate.hpp"
#include "web/join_route.hpp"
#include "web/page_route.hpp"

namespace {

using namespace panewalk;

/// A site of one prop of three pixels.
const engine::Plan& plan() {
  static const engine::Plan* const kPlan = [] {
    auto* made = new engine::Plan;
    made->site = "boathouse";
    made->controllers = {{.name = "bench", .address = {.host = {192, 0, 2, 7}, .port = 5568}}};
    auto frame = prop::build(
        {{.name = "",
          .at = {},
          .shape =
              prop::LineShape{.from = {}, .to = {base::Millimetres::of(200), {}}, .stations = 3},
          .empty = {}}});
    auto map = wiring::read_route(frame.value(), {.route = {"A B"}});
    made->props.push_back(std::make_unique<const engine::PlannedProp>(
        engine::PlannedProp{.name = "oar-rack",
                            .frame = std::move(frame).value(),
                            .map = std::move(map).value(),
                            .placement = {.controller = "bench"}}));
    const engine::PlannedProp& prop = *made->props[0];
    made->patch = patch::assign(made->controllers, {{.name = prop.name,
                                                     .map = &prop.map,
                                                     .format = prop.format,
                                                     .placement = prop.placement}})
                      .value();
    made->walk = {0};
    made->patterns = {
        {.name = "steady", .steps = {{.action = pattern::LightStep{{{.target = "all"}}}}}}};
    return made;
  }();
  return *kPlan;
}

/// The answer is whole, and only what was granted commands anything.
void hold(const web::Answer& answer, const web::Request& request) {
  const int status = answer.response.status;
  if (status < 200 || status > 599) std::abort();
  if (answer.command && (status != 200 || request.method != "POST")) std::abort();
  if (status >= 400 && answer.response.body.rfind("{\n  \"problems\": [\n", 0) != 0) std::abort();
  const std::string bytes = web::to_bytes(answer.response, web::Connection::kStays);
  if (bytes.find('\0') != std::string::npos) std::abort();
}

}  // namespace

/// Lines: method, target, host, type; then the body.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  std::string rest;
  for (std::size_t i = 0; i < size; ++i) rest += static_cast<char>(data[i]);
  std::array<std::string, 4> lines;
  for (std::string& line : lines) {
    const std::size_t end = rest.find('\n');
    line = rest.substr(0, end);
    rest.erase(0, end == std::string::npos ? rest.size() : end + 1);
  }
  const web::Request request{.method = lines[0],
                             .target = lines[1],
                             .body = rest,
                             .content_type = lines[3],
                             .host = lines[2],
                             .origin = lines[2],
                             .has_origin = lines[2].size() % 2 == 0,
                             .cookie = lines[2],
                             .if_none_match = lines[3],
                             .from = lines[2]};
  io::Live live;
  live.status.props.resize(1);
  live.status.supplies.resize(1);
  live.status.sent = light::Canvas{plan().pixel_counts()};
  const web::View view{.plan = &plan(), .live = &live, .lit_asked = rest.size() % 2 == 0};
  hold(web::handle(request, view), request);
  web::Join join{"7KWM4TQX"};
  join.admit("2345", base::Instant{});
  const auto token = [] { return std::optional<std::string>{"6789"}; };
  if (web::is_about_joining(request.target)) {
    hold({.response = web::join_answer(request, &join, base::Instant{}, token).response}, request);
  }
  if (const auto refused = web::turned_away(request, {.address = "127.0.0.1", .port = 7007})) {
    hold({.response = *refused}, request);
  } else if (web::is_of_page(request.target)) {
    hold({.response = web::page_answer(request)}, request);
  }
  return 0;
}
