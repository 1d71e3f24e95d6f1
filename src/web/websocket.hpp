#pragma once

#include <boost/asio/ip/tcp.hpp>
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace panewalk::web {

class Hub;

/// The call that asks for a WebSocket, as it came.
struct UpgradeCall {
  std::string address = {};  ///< of the client
  std::string session = {};  ///< "" where none is needed
  std::string target;
  std::vector<std::pair<std::string, std::string>> headers;
};

/// Answers the call and tells the client the state for as long as it stays.
void serve_live(boost::asio::ip::tcp::socket socket, const UpgradeCall& call,
                std::shared_ptr<Hub> hub);

}  // namespace panewalk::web
