#include "web/api.hpp"

#include "config/reader.hpp"
#include "site/drawing_export.hpp"
#include "site/map_export.hpp"
#include "web/bodies.hpp"
#include "web/calls.hpp"
#include "web/network_body.hpp"
#include "web/page_files.hpp"
#include "web/request_form.hpp"

namespace panewalk::web {
namespace {

using Get = Answer (*)(const Call&);
using Post = Answer (*)(const Call&, const config::Tree&);

/// "{prop}" in a path stands for the name of one.
struct Route {
  std::string_view path;
  Get get = nullptr;
  Post post = nullptr;
  NoBody no_body = NoBody::kIsRefused;
};

constexpr Route kRoutes[] = {
    {"/api/site", get_site},
    {"/api/patterns", get_patterns},
    {"/api/props/{prop}/map", get_map},
    {"/api/props/{prop}/drawing", get_drawing},
    {"/api/light", get_light, post_light},
    {"/api/step", nullptr, post_step},
    {"/api/dark", nullptr, post_dark, NoBody::kIsAnEmptyObject},
    {"/api/release", nullptr, post_release, NoBody::kIsAnEmptyObject},
    {kLivePath, get_live},
    {"/api/network", get_network},
    {"/api/bench/{prop}", get_bench},
    {"/api/bench/{prop}/begin", nullptr, post_bench_begin, NoBody::kIsAnEmptyObject},
    {"/api/bench/{prop}/answer", nullptr, post_bench_answer},
    {"/api/walk", get_walk},
    {"/api/walk/begin", nullptr, post_walk_begin},
    {"/api/walk/answer", nullptr, post_walk_answer},
    {"/api/find/{prop}", get_find},
    {"/api/find/{prop}/begin", nullptr, post_find_begin},
    {"/api/find/{prop}/answer", nullptr, post_find_answer},
    {"/api/find/{prop}/show", nullptr, post_find_show},
    {"/api/find/{prop}/repaired", nullptr, post_find_repaired},
    {"/api/find/{prop}/accept", nullptr, post_find_accept},
    {"/api/logbook", get_logbook},
    {"/api/openapi.json", get_document},
};

/// The route of a path, and the prop that it names.
struct Found {
  const Route* route = nullptr;
  std::string_view prop;
};

Found find(std::string_view path) {
  constexpr std::string_view kProp = "{prop}";
  for (const Route& route : kRoutes) {
    const std::size_t at = route.path.find(kProp);
    if (at == std::string_view::npos) {
      if (route.path == path) return {&route, {}};
      continue;
    }
    const std::string_view before = route.path.substr(0, at);
    const std::string_view after = route.path.substr(at + kProp.size());
    if (path.size() < before.size() + after.size() || path.substr(0, before.size()) != before ||
        path.substr(path.size() - after.size()) != after) {
      continue;
    }
    const std::string_view prop =
        path.substr(before.size(), path.size() - before.size() - after.size());
    if (prop.find('/') == std::string_view::npos) return {&route, prop};
  }
  return {};
}

std::string allowed(const Route& route) {
  if (route.get == nullptr) return "POST";
  return route.post == nullptr ? "GET, HEAD" : "GET, HEAD, POST";
}

}  // namespace

Answer answered(std::string body) { return {.response = {.body = std::move(body)}}; }

Answer refused(int status, base::Problem problem) {
  return {.response = refusal(status, {std::move(problem)})};
}

std::optional<Answer> refused_members(const config::Tree& body) {
  config::Report report;
  const config::Object object{{&body.root, "", &report}, "no body, or an empty object,"};
  for (const config::Member& member : body.root.members) {
    object.refuse_name(member.name, "unknown name", "this command takes none");
  }
  if (report.clean()) return std::nullopt;
  return Answer{.response = refusal(400, report.take(body))};
}

Answer recorded(const Call& call, std::vector<check::Event> events, std::string then) {
  if (!call.view->no_logbook.empty()) return {.response = refusal(503, call.view->no_logbook)};
  return {.response = {}, .command = Record{std::move(events), std::move(then)}};
}

Answer not_taken(const check::Refusal& refused) {
  return {.response = refusal(refused.stale ? 409 : 400, refused.problems)};
}

Answer get_site(const Call& call) { return answered(site_body(*call.view)); }
Answer get_patterns(const Call& call) { return answered(patterns_body(*call.view->plan)); }
Answer get_network(const Call& call) { return answered(network_body(*call.view)); }
Answer get_map(const Call& call) {
  return answered(site::map_as_json(*call.view->plan, call.prop));
}
Answer get_drawing(const Call& call) {
  return answered(site::drawing_as_json(*call.view->plan, call.prop));
}

Answer get_document(const Call& /*call*/) {
  return answered(std::string{documents().front().text});
}

std::vector<RouteName> routes() {
  std::vector<RouteName> names;
  for (const Route& route : kRoutes) {
    if (route.get != nullptr) names.push_back({"GET", std::string{route.path}});
    if (route.post != nullptr) names.push_back({"POST", std::string{route.path}});
  }
  return names;
}

Answer handle(const Request& request, const View& view) {
  const std::string path{path_of(request.target)};
  const Found found = find(path);
  if (found.route == nullptr) {
    return refused(404, {.where = request.target.substr(0, 200),
                         .what = "nothing is here",
                         .remedy = "GET /api/openapi.json lists what there is"});
  }
  if (auto refusal = faulty_form(request, allowed(*found.route))) return {.response = *refusal};
  Call call{.view = &view};
  if (!found.prop.empty() || found.route->path.find("{prop}") != std::string_view::npos) {
    const auto prop = view.plan->find_prop(found.prop);
    if (!prop) {
      return refused(404, {.where = path,
                           .what = "no prop is named " + base::quoted(found.prop),
                           .remedy = "the props that GET /api/site lists"});
    }
    call.prop = *prop;
  }
  if (request.method != "POST") return found.route->get(call);
  auto body = json_body(request, found.route->no_body);
  if (!body) return {.response = std::move(body).error()};
  return found.route->post(call, body.value());
}

}  // namespace panewalk::web
