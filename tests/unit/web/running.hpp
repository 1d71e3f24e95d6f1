#pragma once

#include <gtest/gtest.h>

#include <boost/asio/executor_work_guard.hpp>
#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>
#include <future>
#include <memory>
#include <string>
#include <thread>

#include "boathouse.hpp"
#include "client.hpp"
#include "web/server.hpp"

namespace panewalk::test {

/// A server in practice on a free port, with a control thread of its own.
class Running {
 public:
  explicit Running(web::ServerLimits limits = {}, std::shared_ptr<engine::Plan> plan = boathouse())
      : session_{start(std::move(plan))},
        server_{context_, *session_, {.port = 0, .notes = {"a note"}, .limits = limits}} {
    const auto door = server_.start();
    if (!door) ADD_FAILURE() << lines(door.error());
    port_ = door.value().door.port;
    thread_ = std::thread{[this] { context_.run(); }};
  }
  ~Running() {
    stop();
    work_.reset();
    thread_.join();
  }
  Running(const Running&) = delete;
  Running& operator=(const Running&) = delete;

  void stop() {
    boost::asio::post(context_, [this] { server_.stop(); });
  }
  [[nodiscard]] std::uint16_t port() const { return port_; }
  [[nodiscard]] std::string host() const {
    return "Host: 127.0.0.1:" + std::to_string(port_) + "\r\n";
  }
  /// On the control thread.
  template <class Question>
  auto ask(Question question) {
    std::promise<decltype(question(server_, *session_))> promise;
    boost::asio::post(
        context_, [&promise, &question, this] { promise.set_value(question(server_, *session_)); });
    return promise.get_future().get();
  }

  std::string get(const std::string& target, const std::string& headers = "") {
    TcpClient client{port_};
    client.send("GET " + target + " HTTP/1.1\r\n" + host() + headers + "\r\n");
    return client.read_answer();
  }
  std::string post(const std::string& target, const std::string& body) {
    TcpClient client{port_};
    client.send("POST " + target + " HTTP/1.1\r\n" + host() +
                "Content-Type: application/json\r\nContent-Length: " + std::to_string(body.size()) +
                "\r\n\r\n" + body);
    return client.read_answer();
  }

 private:
  static std::unique_ptr<io::Session> start(std::shared_ptr<engine::Plan> plan) {
    auto session =
        io::Session::start(std::move(plan),
                           {.cid = packet::Cid::of({1, 2, 3}),
                            .source_name = packet::SourceName::from("Panewalk test").value(),
                            .reroute = {}},
                           io::Session::To::kPractice);
    if (!session) ADD_FAILURE() << lines(session.error());
    return std::move(session).value();
  }

  std::unique_ptr<io::Session> session_;
  boost::asio::io_context context_{1};
  boost::asio::executor_work_guard<boost::asio::io_context::executor_type> work_{
      context_.get_executor()};
  web::Server server_;
  std::uint16_t port_ = 0;
  std::thread thread_;
};

inline std::string status_of(const std::string& answer) {
  return answer.substr(0, answer.find("\r\n"));
}

inline bool has(const std::string& text, const std::string& words) {
  return text.find(words) != std::string::npos;
}

/// A body that lights both props of the boathouse.
inline constexpr const char* kSteady = R"({"props":["oar-rack","lantern"],"pattern":"steady"})";

}  // namespace panewalk::test
