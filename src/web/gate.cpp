#include "web/gate.hpp"

#include <algorithm>

namespace panewalk::web {
namespace {

constexpr std::uint16_t kHttpPort = 80;

std::vector<std::string> in_quotes(const std::vector<std::string>& words) {
  std::vector<std::string> quoted;
  quoted.reserve(words.size());
  for (const std::string& word : words) quoted.push_back(base::quoted(word));
  return quoted;
}

bool one_of(const std::vector<std::string>& names, const std::string& name) {
  return std::find(names.begin(), names.end(), in_small_letters(name)) != names.end();
}

}  // namespace

std::string in_small_letters(std::string text) {
  for (char& letter : text) {
    if (letter >= 'A' && letter <= 'Z') letter = static_cast<char>(letter - 'A' + 'a');
  }
  return text;
}

std::string as_host(const std::string& address) {
  const std::string plain = address.substr(0, address.find('%'));
  return plain.find(':') == std::string::npos ? plain : '[' + plain + ']';
}

std::vector<std::string> names_of(const Door& door) {
  std::vector<std::string> hosts;
  if (door.reach == Reach::kThisMachine) hosts = {"127.0.0.1", "localhost", "[::1]"};
  if (door.reach == Reach::kEveryAddress) {
    hosts = door.hosts;
  } else if (const std::string own = as_host(door.address); !one_of(hosts, own)) {
    hosts.push_back(own);
  }
  std::vector<std::string> names;
  for (const std::string& host : hosts) {
    names.push_back(host + ':' + std::to_string(door.port));
    if (door.port == kHttpPort) names.push_back(host);
  }
  return names;
}

std::optional<Response> turned_away(const Request& request, const Door& door) {
  const std::vector<std::string> names = names_of(door);
  if (!one_of(names, request.host)) {
    return refusal(
        403, {{.where = "Host",
               .what = request.host.empty()
                           ? "one Host header is needed"
                           : base::quoted(request.host) + " is not a name of this server",
               // A page elsewhere that points its own name here reads this answer, so
               // it does not tell the addresses of this machine.
               .remedy = door.reach == Reach::kThisMachine ? base::listed(in_quotes(names), "or")
                                                           : "the address that serve printed"}});
  }
  if (!request.has_origin) return std::nullopt;
  std::vector<std::string> origins;
  for (const std::string& name : names) origins.push_back("http://" + name);
  if (one_of(origins, request.origin)) return std::nullopt;
  return refusal(
      403, {{.where = "Origin",
             .what = "calls from pages of " +
                     (request.origin.empty() ? "several origins" : base::quoted(request.origin)) +
                     " are not taken",
             .remedy = "open the page from this server"}});
}

}  // namespace panewalk::web
