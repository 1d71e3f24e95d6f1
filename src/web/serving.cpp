#include "web/serving.hpp"

#include <boost/asio/io_context.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/steady_timer.hpp>
#include <utility>

namespace panewalk::web {

struct Serving::Loop {
  Loop(io::Session& session, io::Signals& signals_in, ServerOptions options)
      : signals{signals_in},
        descriptor{context, signals_in.descriptor()},
        server{context, session, std::move(options)} {}
  // The descriptor stays the signals' own.
  ~Loop() { descriptor.release(); }
  Loop(const Loop&) = delete;
  Loop& operator=(const Loop&) = delete;

  void call_later() {
    timer.expires_after(every);
    timer.async_wait([this](const boost::system::error_code& error) {
      // Once the timer is due, cancel() comes too late.
      if (error || every == base::Duration::zero()) return;
      then();
      call_later();
    });
  }

  boost::asio::io_context context{1};
  io::Signals& signals;
  boost::asio::posix::stream_descriptor descriptor;
  Server server;
  std::optional<Invitation> invitation;
  bool ready = false;  // a signal waits
  boost::asio::steady_timer timer{context};
  base::Duration every{};
  std::function<void()> then;
};

Serving::Serving(io::Session& session, io::Signals& signals, ServerOptions options)
    : loop_{std::make_unique<Loop>(session, signals, std::move(options))} {}

Serving::~Serving() = default;

base::Result<std::string> Serving::open() {
  auto opened = loop_->server.start();
  if (!opened) return std::move(opened).error();
  loop_->invitation = std::move(opened.value().invitation);
  return opened.value().link;
}

const std::optional<Invitation>& Serving::invitation() const { return loop_->invitation; }

void Serving::keep(base::Duration every, std::function<void()> then) {
  loop_->every = every;
  loop_->then = std::move(then);
  loop_->call_later();
}

int Serving::run() {
  int signal = 0;
  while (signal == 0) {
    loop_->context.restart();
    loop_->ready = false;
    loop_->descriptor.async_wait(boost::asio::posix::stream_descriptor::wait_read,
                                 [this](const boost::system::error_code&) {
                                   loop_->ready = true;
                                   loop_->context.stop();
                                 });
    loop_->context.run();
    if (!loop_->ready) continue;
    if (loop_->signals.wait(base::Duration{0}) == io::Signals::Woke::kSignal) {
      signal = loop_->signals.last();
    }
  }
  return signal;
}

void Serving::close() {
  loop_->every = {};
  loop_->timer.cancel();
  loop_->server.stop();
  loop_->context.restart();
  loop_->context.run();
}

void Serving::site_was_read(std::shared_ptr<const site::Site> site,
                            std::vector<std::string> notes) {
  loop_->server.site_was_read(std::move(site), std::move(notes));
}

}  // namespace panewalk::web
