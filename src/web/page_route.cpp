#include "web/page_route.hpp"

#include <algorithm>

#include "web/page_files.hpp"
#include "web/request_form.hpp"

namespace panewalk::web {
namespace {

constexpr std::string_view kFolder = "/page/";
constexpr std::string_view kStartFile = "index.html";

/// Content Security Policy Level 3. Not every browser counts ws: as 'self', so the WebSocket is
/// named.
std::string page_policy(const std::string& host) {
  return "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
         "connect-src 'self' ws://" +
         host +
         "; manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
}

/// RFC 9110 section 13.1.2: a list of tags, weak or not, or "*".
bool names_tag(std::string_view if_none_match, const std::string& tag) {
  return if_none_match == "*" || if_none_match.find(tag) != std::string_view::npos;
}

std::string_view name_in(std::string_view path) {
  return path == "/" ? kStartFile : path.substr(kFolder.size());
}

}  // namespace

const PageFile* find_page_file(std::string_view name) {
  const auto files = page_files();
  const auto found = std::find_if(files.begin(), files.end(),
                                  [name](const PageFile& file) { return file.name == name; });
  return found == files.end() ? nullptr : &*found;
}

bool is_of_page(std::string_view target) {
  const std::string_view path = path_of(target);
  return path == "/" || path.substr(0, kFolder.size()) == kFolder;
}

Response page_answer(const Request& request) {
  const PageFile* const file = find_page_file(name_in(path_of(request.target)));
  if (file == nullptr) {
    return refusal(404, {{.where = request.target.substr(0, 200),
                          .what = "nothing is here",
                          .remedy = "GET / is the page"}});
  }
  if (auto faulty = faulty_form(request, "GET, HEAD")) return *std::move(faulty);
  const std::string tag = base::quoted(file->tag);
  Response response{.type = std::string{file->type},
                    .headers = {{"ETag", tag},
                                {"Permissions-Policy",
                                 "camera=(), geolocation=(), microphone=(), payment=(), usb=()"}},
                    .caching = "no-cache",
                    .policy = page_policy(request.host)};
  if (names_tag(request.if_none_match, tag)) {
    response.status = 304;
  } else {
    response.body = file->text;
  }
  return response;
}

}  // namespace panewalk::web
