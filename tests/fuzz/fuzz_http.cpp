#include <array>
#include <string>
#include <variant>
#include <vector>

#include "law.hpp"
#include "logbook/export.hpp"
#include "web/api.hpp"
#include "web/gate.hpp"
#include "web/join_route.hpp"
#include "web/page_route.hpp"
#include "web/searches.hpp"

namespace {

using namespace panewalk;
using fuzz::hold;

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

/// A check, a walk and a search that were begun.
const std::vector<check::Entry>& entries() {
  static const std::vector<check::Entry> kEntries{
      {1, 1'795'626'501, "boathouse", check::BenchBegun{"oar-rack"}},
      {2, 1'795'626'502, "boathouse", check::WalkBegun{check::WalkBy::kOrder, {"oar-rack"}}},
      {3, 1'795'626'503, "boathouse",
       check::FindBegun{.prop = "oar-rack", .from = "walk", .described = ""}}};
  return kEntries;
}

web::View view_of(const io::Live& live, std::span<const check::Entry> recorded) {
  static web::Searches searches;
  return {.plan = &plan(),
          .live = &live,
          .entries = recorded,
          .newest_entry = std::ssize(recorded),
          .search = [recorded](std::size_t prop) -> web::Search& {
            return searches.of(plan(), nullptr, prop, recorded, std::ssize(recorded));
          }};
}

/// The answer is whole, and only what was granted commands anything.
void hold_answer(const web::Answer& answer, const web::Request& request) {
  const int status = answer.response.status;
  hold(status >= 200 && status <= 599, "an answer has a status of HTTP");
  hold(!answer.command || (status == 200 && request.method == "POST"),
       "only a POST that was granted commands", request.target);
  hold(status < 400 || answer.response.body.rfind("{\n  \"problems\": [\n", 0) == 0,
       "a refusal has problems", answer.response.body);
  const std::string bytes = web::to_bytes(answer.response, web::Connection::kStays);
  hold(bytes.find('\0') == std::string::npos, "an answer is text");
}

/// What is to be recorded can be, and the answer then says where things stand.
void hold_record(const web::Record& record, const io::Live& live) {
  std::vector<check::Entry> recorded = entries();
  for (const check::Event& event : record.events) {
    hold(check::is_within_bounds(event), "what is recorded is within its bounds");
    recorded.push_back({std::ssize(recorded) + 1, 1'795'626'600, "boathouse", event});
  }
  hold(fuzz::is_utf8(logbook::entries_as_csv(recorded)), "what is recorded is UTF-8");
  const web::Request then{.method = "GET", .target = record.then};
  const web::Answer answer = web::handle(then, view_of(live, recorded));
  hold(answer.response.status == 200, "after a record it is told where things stand",
       answer.response.body);
  hold_answer(answer, then);
}

}  // namespace

/// Lines: method, target, host, type; then the body.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  std::string rest = fuzz::text_of(data, size);
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
  web::View view = view_of(live, entries());
  view.lit_asked = rest.size() % 2 == 0;
  const web::Answer answer = web::handle(request, view);
  hold_answer(answer, request);
  if (answer.command) {
    if (const auto* record = std::get_if<web::Record>(&*answer.command)) hold_record(*record, live);
  }
  web::Join join{"7KWM4TQX"};
  join.admit("2345", base::Instant{});
  const auto token = [] { return std::optional<std::string>{"6789"}; };
  if (web::is_about_joining(request.target)) {
    hold_answer({.response = web::join_answer(request, &join, base::Instant{}, token).response},
                request);
  }
  if (const auto refused = web::turned_away(request, {.address = "127.0.0.1", .port = 7007})) {
    hold_answer({.response = *refused}, request);
  } else if (web::is_of_page(request.target)) {
    hold_answer({.response = web::page_answer(request)}, request);
  }
  return 0;
}
