#pragma once

#include <string>
#include <utility>
#include <vector>

#include "base/problem.hpp"

namespace panewalk::web {

/// What a client asks, as far as anyone here looks at it. A header that is missing, or there more
/// than once, is "".
struct Request {
  std::string method;
  std::string target;  ///< as sent, not decoded
  std::string body;
  std::string content_type;
  std::string host;
  std::string origin;
  bool has_origin = false;
  std::string cookie;
  std::string if_none_match;
  std::string from;  ///< the client's address, without its port
};

/// Nothing from elsewhere, nothing framed elsewhere. A Content-Security-Policy for what is no page.
inline constexpr const char* kPlainPolicy =
    "default-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; "
    "object-src 'none'";

struct Response {
  int status = 200;
  std::string type = "application/json";
  std::string body;
  std::vector<std::pair<std::string, std::string>> headers = {};  ///< beside those all have
  std::string caching = "no-store";
  std::string policy = kPlainPolicy;
};

/// {"problems": [{"where", "message", "remedy"}]}, the shape of every error.
Response refusal(int status, const base::Problems& problems);

enum class Connection { kStays, kCloses };
enum class Part { kWhole, kHead };  ///< kHead answers HEAD: the length of a body that is not sent

/// The whole answer as HTTP/1.1 has it on the wire, with the headers that every answer has.
std::string to_bytes(const Response& response, Connection connection, Part part = Part::kWhole);

}  // namespace panewalk::web
