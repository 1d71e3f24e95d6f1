// The least program of this kind, for the streaming benchmark: reads a site file, and sends one
// packet by a timer of Asio to its first controller. `stream_minimal SITE`
#include <array>
// clang-format off
#include <utility>  // what Asio 1.74 forgets
// clang-format on
#include <boost/asio.hpp>
#include <fstream>
#include <functional>
#include <iostream>
#include <nlohmann/json.hpp>

namespace {

namespace asio = boost::asio;
using asio::ip::udp;

constexpr std::chrono::milliseconds kFrame{25};

}  // namespace

int main(int, char** arguments) {
  std::ifstream file{arguments[1]};
  const nlohmann::json site = nlohmann::json::parse(file);
  const std::string address = site["controllers"][0]["address"];
  const std::size_t colon = address.find(':');
  const udp::endpoint to{asio::ip::make_address(address.substr(0, colon)),
                         static_cast<unsigned short>(std::stoi(address.substr(colon + 1)))};

  asio::io_context context;
  udp::socket socket{context, udp::v4()};
  asio::steady_timer timer{context};
  const std::array<char, 638> packet{};
  const std::function<void(const boost::system::error_code&)> frame =
      [&](const boost::system::error_code&) {
        socket.send_to(asio::buffer(packet), to);
        timer.expires_at(timer.expiry() + kFrame);
        timer.async_wait(frame);
      };
  timer.expires_after(std::chrono::milliseconds{0});
  timer.async_wait(frame);
  context.run();
}
