#include "web/request_form.hpp"

#include "web/api.hpp"

namespace panewalk::web {
namespace {

using base::Problem;
using base::Problems;

constexpr config::Limits kCommand{
    .bytes = kMostBody, .depth = 4, .values = 2000, .string_bytes = 1024};

/// A fault of form has no pointer, so its place is a line and a column.
Problems with_place(Problems problems) {
  for (Problem& problem : problems) {
    if (problem.where.empty() && problem.line > 0) {
      problem.where =
          "line " + std::to_string(problem.line) + ", column " + std::to_string(problem.column);
    }
  }
  return problems;
}

/// RFC 9110 section 8.3.1: the type has no case and may have parameters.
bool is_json(std::string_view content_type) {
  constexpr std::string_view kJson = "application/json";
  if (content_type.size() < kJson.size()) return false;
  for (std::size_t i = 0; i < kJson.size(); ++i) {
    const char letter = content_type[i];
    const bool capital = letter >= 'A' && letter <= 'Z';
    if ((capital ? static_cast<char>(letter - 'A' + 'a') : letter) != kJson[i]) return false;
  }
  const std::string_view rest = content_type.substr(kJson.size());
  return rest.empty() || rest.front() == ';' || rest.front() == ' ' || rest.front() == '\t';
}

/// Whether the comma-separated list has the method.
bool has_method(std::string_view allowed, std::string_view method) {
  while (!allowed.empty()) {
    const std::size_t end = allowed.find(", ");
    if (allowed.substr(0, end) == method) return true;
    if (end == std::string_view::npos) break;
    allowed.remove_prefix(end + 2);
  }
  return false;
}

}  // namespace

std::string_view path_of(std::string_view target) { return target.substr(0, target.find('?')); }

std::optional<Response> faulty_form(const Request& request, std::string_view allowed) {
  const std::string_view target = request.target;
  const std::string_view path = path_of(target);
  if (!has_method(allowed, request.method)) {
    Response response = refusal(405, {{.where = std::string{path},
                                       .what = base::quoted(request.method) + " is not taken here",
                                       .remedy = std::string{allowed}}});
    response.headers = {{"Allow", std::string{allowed}}};
    return response;
  }
  if (path.size() != target.size()) {
    return refusal(400,
                   {{.where = std::string{path},
                     .what = "no query is taken, found " + base::quoted(target.substr(path.size())),
                     .remedy = "the path alone"}});
  }
  return std::nullopt;
}

base::Result<config::Tree, Response> json_body(const Request& request, NoBody no_body) {
  if (request.body.size() > kMostBody) {
    return refusal(413, {{.what = "the body has " + std::to_string(request.body.size()) + " bytes",
                          .remedy = "at most " + std::to_string(kMostBody)}});
  }
  // A form of a page elsewhere can't set this type without asking first (Fetch, CORS protocol).
  if (!request.body.empty() && !is_json(request.content_type)) {
    return refusal(415, {{.where = "Content-Type",
                          .what = request.content_type.empty()
                                      ? "the body has no type"
                                      : base::quoted(request.content_type) + " is not taken",
                          .remedy = "application/json"}});
  }
  const bool may_be_bare = no_body == NoBody::kIsAnEmptyObject;
  auto tree =
      config::read_text(request.body.empty() && may_be_bare ? "{}" : request.body, kCommand);
  if (!tree) return refusal(400, with_place(std::move(tree).error()));
  return std::move(tree).value();
}

}  // namespace panewalk::web
