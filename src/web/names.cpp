#include "web/names.hpp"

#include "io/interfaces.hpp"
#include "web/gate.hpp"

namespace panewalk::web {
namespace {

bool takes_ipv6(const std::string& listens_on) { return listens_on.find(':') != std::string::npos; }

}  // namespace

std::vector<std::string> hosts_of_this_machine(const std::string& listens_on) {
  const bool with_ipv6 = takes_ipv6(listens_on);
  std::vector<std::string> hosts = {"localhost"};
  for (const io::InterfaceAddress& address : io::interface_addresses()) {
    if (with_ipv6 || !address.is_ipv6) hosts.push_back(as_host(address.text));
  }
  const std::string name = in_small_letters(io::host_name());
  if (!name.empty()) {
    hosts.push_back(name);
    hosts.push_back(name + ".local");
  }
  return hosts;
}

std::string host_for_others(const std::string& listens_on) {
  const auto addresses = io::interface_addresses();
  for (const bool ipv6 : {false, true}) {
    if (ipv6 && !takes_ipv6(listens_on)) break;
    for (const io::InterfaceAddress& address : addresses) {
      if (address.is_loopback || address.is_link_local || address.is_ipv6 != ipv6) continue;
      return as_host(address.text);
    }
  }
  return "127.0.0.1";
}

}  // namespace panewalk::web
