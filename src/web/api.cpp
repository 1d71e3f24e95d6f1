#include "web/api.hpp"

#include <array>

#include "config/amounts.hpp"
#include "config/reader.hpp"
#include "config/text.hpp"
#include "site/map_export.hpp"
#include "web/bodies.hpp"

namespace panewalk::web {
namespace {

using base::Problem;
using base::Problems;

constexpr config::Limits kCommand{
    .bytes = kMostBody, .depth = 4, .values = 2000, .string_bytes = 1024};
/// More props than any site has; keeps an answer short.
constexpr std::size_t kMostProps = 1000;

constexpr const char* kHelp =
    "<!doctype html>\n"
    "<html lang=\"en\">\n"
    "<head><meta charset=\"utf-8\"><title>Panewalk</title></head>\n"
    "<body>\n"
    "<h1>Panewalk</h1>\n"
    "<p>It lights test patterns on pixel props. This is its API:</p>\n"
    "<ul>\n"
    "<li><a href=\"/api/site\">GET /api/site</a>: controllers, props, the order to walk them</li>\n"
    "<li>GET /api/props/{prop}/map: where every pixel sits and which channels it takes</li>\n"
    "<li><a href=\"/api/patterns\">GET /api/patterns</a>: what can be shown, and what it is for"
    "</li>\n"
    "<li><a href=\"/api/light\">GET /api/light</a>: the light as it is now</li>\n"
    "<li>POST /api/light {\"prop\" or \"props\", \"pattern\", \"level\"?, \"region\"?}: light these"
    " props, the others go black</li>\n"
    "<li>POST /api/step {\"go\": \"next\", \"back\", \"hold\" or \"on\"}: step the picture by hand"
    "</li>\n"
    "<li>POST /api/dark: black, and kept black</li>\n"
    "<li>POST /api/release: black, then silent</li>\n"
    "<li>WebSocket /api/live: the light whenever it changes</li>\n"
    "</ul>\n"
    "</body>\n"
    "</html>\n";

Answer answered(std::string body) { return {.response = {.body = std::move(body)}}; }
Answer refused(int status, Problem problem) {
  return {.response = refusal(status, {std::move(problem)})};
}

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

std::string word_of(const config::Value& value) {
  return config::text(value, 1, 200, config::Words::kLine);
}

/// "30 %", or a share from 0 to 1.
light::Level level_of(const config::Value& value) {
  using Kind = config::Node::Kind;
  const config::Node& node = *value.node;
  if (node.kind == Kind::kString) return config::level(value);
  if (node.kind != Kind::kNumber) {
    value.wrong_type("a number from 0 to 1 or a level such as \"30 %\"");
  } else if (!(node.number >= 0 && node.number <= 1)) {
    value.refuse(config::found(node) + " is out of range", "from 0 to 1, or \"0 %\" to \"100 %\"");
  }
  return light::Level::of(node.number);
}

struct NamedProps {
  std::vector<std::string> names;
  bool is_list = false;
};

NamedProps props_of(config::Object& object) {
  NamedProps props;
  const auto named = object.one_of({"prop", "props"}, "no prop is named");
  if (!named) return props;
  if (named->first == "prop") {
    props.names.push_back(word_of(named->second));
    return props;
  }
  props.is_list = true;
  for (const config::Value& each :
       config::list(named->second, "a list of names of props", 1, kMostProps)) {
    props.names.push_back(word_of(each));
  }
  return props;
}

Answer light(const config::Tree& tree, const View& view) {
  config::Report report;
  config::Object object{{&tree.root, "", &report}, "an object that says what to light"};
  engine::LightAsked asked;
  const NamedProps props = props_of(object);
  asked.props = props.names;
  if (const auto pattern = object.must("pattern", "the name of a pattern")) {
    asked.pattern = word_of(*pattern);
  }
  if (const auto level = object.may("level")) asked.level = level_of(*level);
  if (const auto region = object.may("region")) asked.region = word_of(*region);
  object.finish();
  if (!report.clean()) return {.response = refusal(400, report.take(tree))};

  auto look = engine::compose(*view.plan, asked);
  if (!look) {
    Problems problems = std::move(look).error();
    for (Problem& problem : problems) {
      if (!props.is_list && problem.where == "/props/0") problem.where = "/prop";
    }
    return {.response = refusal(400, problems)};
  }
  std::string body = look_body(*view.plan, look.value());
  return {.response = {.body = std::move(body)}, .command = std::move(look).value()};
}

Answer step(const config::Tree& tree, const View& view) {
  using engine::StepAsked;
  static const std::vector<std::string> kWords = {"next", "back", "hold", "on"};
  constexpr std::array kSteps = {StepAsked::kNext, StepAsked::kBack, StepAsked::kHold,
                                 StepAsked::kOn};
  config::Report report;
  config::Object object{{&tree.root, "", &report}, "an object that says which way to step"};
  std::optional<std::size_t> which;
  if (const auto go = object.must("go", "\"next\", \"back\", \"hold\" or \"on\"")) {
    which = config::choice(*go, kWords);
  }
  object.finish();
  if (!report.clean()) return {.response = refusal(400, report.take(tree))};
  if (!view.lit_asked) {
    return refused(409, {.what = "nothing is lit, so there is nothing to step through",
                         .remedy = "POST /api/light first"});
  }
  return {.response = {.body = step_body(kWords[*which])}, .command = kSteps[*which]};
}

/// For commands that say it all by their path: no body, or an empty object.
template <class Bare>
Answer bare(const config::Tree& tree, const char* what) {
  config::Report report;
  const config::Object object{{&tree.root, "", &report}, "no body, or an empty object,"};
  for (const config::Member& member : tree.root.members) {
    object.refuse_name(member.name, "unknown name", "this command takes none");
  }
  if (!report.clean()) return {.response = refusal(400, report.take(tree))};
  return {.response = {.body = asked_body(what)}, .command = Bare{}};
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

Answer command(const Request& request, const View& view) {
  const bool may_be_bare = request.target == "/api/dark" || request.target == "/api/release";
  if (request.body.size() > kMostBody) {
    return refused(413, {.what = "the body has " + std::to_string(request.body.size()) + " bytes",
                         .remedy = "at most " + std::to_string(kMostBody)});
  }
  // A form of a page elsewhere can't set this type without asking first (Fetch, CORS protocol).
  if (!request.body.empty() && !is_json(request.content_type)) {
    return refused(415, {.where = "Content-Type",
                         .what = request.content_type.empty()
                                     ? "the body has no type"
                                     : base::quoted(request.content_type) + " is not taken",
                         .remedy = "application/json"});
  }
  const auto tree =
      config::read_text(request.body.empty() && may_be_bare ? "{}" : request.body, kCommand);
  if (!tree) return {.response = refusal(400, with_place(tree.error()))};
  if (request.target == "/api/light") return light(tree.value(), view);
  if (request.target == "/api/step") return step(tree.value(), view);
  if (request.target == "/api/dark") return bare<Dark>(tree.value(), "dark");
  return bare<Release>(tree.value(), "release");
}

/// The prop of "/api/props/{prop}/map"; nothing for any other path.
std::optional<std::string_view> mapped_prop(std::string_view target) {
  constexpr std::string_view kBefore = "/api/props/";
  constexpr std::string_view kAfter = "/map";
  if (target.size() < kBefore.size() + kAfter.size() ||
      target.substr(0, kBefore.size()) != kBefore ||
      target.substr(target.size() - kAfter.size()) != kAfter) {
    return std::nullopt;
  }
  const std::string_view prop =
      target.substr(kBefore.size(), target.size() - kBefore.size() - kAfter.size());
  if (prop.find('/') != std::string_view::npos) return std::nullopt;
  return prop;
}

enum Methods : unsigned { kNone = 0, kGet = 1, kPost = 2 };

unsigned methods_of(std::string_view target) {
  if (target == "/" || target == "/api/site" || target == "/api/patterns" || target == kLivePath ||
      mapped_prop(target)) {
    return kGet;
  }
  if (target == "/api/light") return kGet | kPost;
  if (target == "/api/step" || target == "/api/dark" || target == "/api/release") return kPost;
  return kNone;
}

const char* allowed(unsigned methods) {
  switch (methods) {
    case kGet: return "GET, HEAD";
    case kPost: return "POST";
    default: return "GET, HEAD, POST";
  }
}

Answer map(std::string_view name, const engine::Plan& plan) {
  if (const auto prop = plan.find_prop(name)) return answered(site::map_as_json(plan, *prop));
  std::string message = "no prop is named " + base::quoted(name);
  return refused(404, {.where = "/api/props/" + std::string{name} + "/map",
                       .what = std::move(message),
                       .remedy = "the props that GET /api/site lists"});
}

Answer get(std::string_view target, const View& view) {
  if (target == "/") return {.response = {.type = "text/html; charset=utf-8", .body = kHelp}};
  if (target == "/api/site") return answered(site_body(view));
  if (target == "/api/patterns") return answered(patterns_body(*view.plan));
  if (target == "/api/light") return answered(light_body(view, Layout::kIndented));
  if (target == kLivePath) {
    Answer answer = refused(426, {.where = kLivePath,
                                  .what = "only a WebSocket is served here",
                                  .remedy = "GET /api/light has the same once"});
    answer.response.headers = {{"Upgrade", "websocket"}, {"Connection", "Upgrade"}};
    return answer;
  }
  return map(*mapped_prop(target), *view.plan);
}

}  // namespace

Answer handle(const Request& request, const View& view) {
  const std::string_view target = request.target;
  const std::size_t query = target.find('?');
  const unsigned methods = methods_of(target.substr(0, query));
  if (methods == kNone) {
    return refused(404, {.where = std::string{target.substr(0, 200)},
                         .what = "nothing is here",
                         .remedy = "GET / lists what there is"});
  }
  const bool is_get = request.method == "GET" || request.method == "HEAD";
  const bool is_post = request.method == "POST";
  if (!(is_get && (methods & kGet) != 0) && !(is_post && (methods & kPost) != 0)) {
    Answer answer = refused(405, {.where = std::string{target.substr(0, query)},
                                  .what = base::quoted(request.method) + " is not taken here",
                                  .remedy = allowed(methods)});
    answer.response.headers = {{"Allow", allowed(methods)}};
    return answer;
  }
  if (query != std::string_view::npos) {
    return refused(400, {.where = std::string{target.substr(0, query)},
                         .what = "no query is taken, found " + base::quoted(target.substr(query)),
                         .remedy = "the path alone"});
  }
  return is_get ? get(target, view) : command(request, view);
}

}  // namespace panewalk::web
