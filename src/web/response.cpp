#include "web/response.hpp"

#include "base/check.hpp"
#include "web/bodies.hpp"

namespace panewalk::web {
namespace {

/// RFC 9110 section 15; 429 and 431 are RFC 6585 sections 4 and 5.
const char* reason(int status) {
  switch (status) {
    case 200: return "OK";
    case 304: return "Not Modified";
    case 400: return "Bad Request";
    case 401: return "Unauthorized";
    case 403: return "Forbidden";
    case 404: return "Not Found";
    case 405: return "Method Not Allowed";
    case 409: return "Conflict";
    case 413: return "Content Too Large";
    case 415: return "Unsupported Media Type";
    case 426: return "Upgrade Required";
    case 429: return "Too Many Requests";
    case 431: return "Request Header Fields Too Large";
    case 503: return "Service Unavailable";
    default: break;
  }
  PANEWALK_CHECK(status == 500);
  return "Internal Server Error";
}

constexpr int kNotModified = 304;

/// Nothing of this for pages elsewhere, and no type guessed.
constexpr const char* kSameForAll =
    "Cross-Origin-Resource-Policy: same-origin\r\n"
    "Referrer-Policy: no-referrer\r\n"
    "X-Content-Type-Options: nosniff\r\n";

}  // namespace

Response refusal(int status, const base::Problems& problems) {
  return {.status = status, .body = problems_body(problems)};
}

std::string to_bytes(const Response& response, Connection connection, Part part) {
  std::string bytes =
      "HTTP/1.1 " + std::to_string(response.status) + ' ' + reason(response.status) + "\r\n";
  // RFC 9110 section 8.6: the length would be that of the answer which 304 stands for.
  if (response.status != kNotModified) {
    bytes += "Content-Type: " + response.type +
             "\r\nContent-Length: " + std::to_string(response.body.size()) + "\r\n";
  }
  bytes += "Cache-Control: " + response.caching +
           "\r\nContent-Security-Policy: " + response.policy + "\r\n" + kSameForAll;
  for (const auto& [name, value] : response.headers) bytes += name + ": " + value + "\r\n";
  if (connection == Connection::kCloses) bytes += "Connection: close\r\n";
  bytes += "\r\n";
  if (part == Part::kWhole) bytes += response.body;
  return bytes;
}

}  // namespace panewalk::web
