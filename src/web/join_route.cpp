#include "web/join_route.hpp"

#include "config/reader.hpp"
#include "web/request_form.hpp"

namespace panewalk::web {
namespace {

constexpr std::string_view kJoin = "/api/join";
constexpr std::string_view kLeave = "/api/leave";
constexpr std::string_view kJoined = "/api/joined";
/// Far longer than any code with whatever is put between its letters.
constexpr std::size_t kMostTyped = 100;

Response told(bool joined) {
  return {.body = std::string{"{\n  \"joined\": "} + (joined ? "true" : "false") + "\n}\n"};
}

Response told_with_need(bool needed, bool joined) {
  return {.body = std::string{"{\n  \"needed\": "} + (needed ? "true" : "false") +
                  ",\n  \"joined\": " + (joined ? "true" : "false") + "\n}\n"};
}

/// RFC 6265 section 4.1. No Secure: it is plain HTTP.
constexpr const char* kCookieBounds = "; Path=/; HttpOnly; SameSite=Strict";

Response too_many(Duration wait) {
  const auto seconds = std::chrono::ceil<std::chrono::seconds>(wait).count();
  Response response =
      refusal(429, {{.where = "/code",
                     .what = "too many wrong codes within a minute; this one was not looked at",
                     .remedy = "try again in " + std::to_string(seconds) +
                               (seconds == 1 ? " second" : " seconds")}});
  response.headers = {{"Retry-After", std::to_string(seconds)}};
  return response;
}

Response enter(const config::Tree& tree, const Request& request, Join* join, Instant now,
               const NewToken& new_token) {
  config::Report report;
  config::Object object{{&tree.root, "", &report}, "an object with the join code"};
  std::string code;
  if (const auto typed = object.must("code", "the code that serve printed")) {
    code = config::text(*typed, 1, kMostTyped, config::Words::kLine);
  }
  object.finish();
  if (!report.clean()) return refusal(400, report.take(tree));
  if (join == nullptr) return told(true);
  const Join::Tried tried = join->attempt(code, request.from, now);
  if (tried.verdict == Join::Verdict::kTooMany) return too_many(tried.wait);
  if (tried.verdict == Join::Verdict::kWrong) {
    return refusal(403, {{.where = "/code",
                          .what = "not the join code",
                          .remedy = "the code that serve printed when it started"}});
  }
  auto token = new_token();
  if (!token) {
    return refusal(503, {{.what = "no random numbers for a session", .remedy = "try again"}});
  }
  Response response = told(true);
  response.headers = {{"Set-Cookie", "panewalk=" + *token + kCookieBounds}};
  join->admit(std::move(*token), now);
  return response;
}

JoinAnswer leave(const config::Tree& tree, const Request& request, Join* join, Instant now) {
  config::Report report;
  const config::Object object{{&tree.root, "", &report}, "no body, or an empty object,"};
  for (const config::Member& member : tree.root.members) {
    object.refuse_name(member.name, "unknown name", "this command takes none");
  }
  if (!report.clean()) return {.response = refusal(400, report.take(tree))};
  if (join == nullptr) return {.response = told(true)};
  JoinAnswer answer{.response = told(false)};
  answer.left = join->session_of(request.cookie, now).value_or("");
  join->forget(answer.left);
  answer.response.headers = {{"Set-Cookie", std::string{"panewalk=; Max-Age=0"} + kCookieBounds}};
  return answer;
}

}  // namespace

bool is_about_joining(std::string_view target) {
  const std::string_view path = path_of(target);
  return path == kJoin || path == kLeave || path == kJoined;
}

JoinAnswer join_answer(const Request& request, Join* join, Instant now, const NewToken& new_token) {
  const std::string_view path = path_of(request.target);
  if (auto faulty = faulty_form(request, path == kJoined ? "GET, HEAD" : "POST")) {
    return {.response = *std::move(faulty)};
  }
  if (path == kJoined) {
    const bool joined = join == nullptr || join->session_of(request.cookie, now);
    return {.response = told_with_need(join != nullptr, joined)};
  }
  auto body = json_body(request, path == kLeave ? NoBody::kIsAnEmptyObject : NoBody::kIsRefused);
  if (!body) return {.response = std::move(body).error()};
  if (path == kLeave) return leave(body.value(), request, join, now);
  return {.response = enter(body.value(), request, join, now, new_token)};
}

Response not_joined(const Request& request) {
  Response response =
      refusal(401, {{.where = request.target.substr(0, 200),
                     .what = "this device has not joined",
                     .remedy = "open the page and give the code that serve printed"}});
  // RFC 9110 section 15.5.2 wants a scheme; ours is in no registry, so no browser asks for a
  // password.
  response.headers = {{"WWW-Authenticate", "JoinCode"}};
  return response;
}

}  // namespace panewalk::web
